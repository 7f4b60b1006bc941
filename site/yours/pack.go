package yours

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"io"
	"strings"

	"turnplate/site/diag"
)

// A link's fragment carries the changes as their text, without the vehicle's name and what can be done without,
// deflated (RFC 1951) against words that such texts are made of, in the alphabet of RFC 4648, section 5, which no forum
// takes for markup. The first letter names the words, so that they can be renewed without breaking old links.
const version = "a"

// words are never changed: links that are about depend on them. New ones get a letter of their own.
const packWords = "Measured CamFrontMeasured CamRearMeasured UpperShift UpperFrontLeg UpperRearLeg TieRod TiePitch CamOffset CamLimit CamFront CamRear " +
	"ShaftPlunge ShaftInnerLimit ShaftLimit TieJointLimit LowerJointLimit JointLimit UpperStud LowerStud TieStud UpperBush. LowerFrontBush. LowerRearBush. " +
	"Radial Axial Torsion Tilt Adjust. YawInertia RearCornering FrontRollShare FrontDriveShare FrontBrakeShare AxleRatio GearRatio BrakeTorqueLimit LeftShare " +
	"AssistGain AssistCeiling AssistOnset RodStiffness HandwheelInertia KnuckleInertia ReverseEfficiency Efficiency RollingFriction KingpinFriction Friction " +
	"RackPerTurn HandwheelRadius RackLimit BumpTravel DroopTravel DamperLower DamperUpper LowerPoint UpperPoint WheelBarRate Damping Rate \"lower\" \"upper\" " +
	"PatchLength RelaxationLength CamberStiffness NominalLoad CorneringStiffness LateralStiffness VerticalStiffness SteerInertia RimInertia Inertia OffsetChange " +
	"RimWidth RimDiameter ShoulderRadius RollingRadius Width LoadCapacity LoadPressure triangular(uniform(*kg*m*m *N*m/deg *N*s/m *lbf/inch *lb*ft*ft *lbf*ft " +
	"*N/deg *N/mm *kPa\n *psi\n *bar\n *lbf\n *N\n *inch\n *lb\n *percent\n .X=.Y=.Z=*mm\nRight.Front.ShaftInner=at(Front.ShaftOuter=at(" +
	"Unsprung=RearTrack=CentreHeight=Wheelbase=Name=\"*mm/1.96)\n*kg/1.96)\n*deg\nFront.Toe=Front.Camber=Both.Toe=Both.Camber=Spring.Rate=Steering.Friction=" +
	"Front.UpperFront=at(Front.UpperRear=at(Front.UpperBall=at(Front.LowerFront=at(Front.LowerRear=at(Front.LowerBall=at(Front.TieInner=at(Front.TieOuter=at(" +
	"Front.WheelCentre=at(,0)*mm\n*mm,normal(Both.Lift=50*mm\nRearLift=FrontShare=*kg\nMass=Tyre.Pressure=Tyre.RimMass=Tyre.Mass=Tyre.LoadedRadius=*mm\nTyre=tyreSize(\"35x12.50R17LT\",285/70R17\")\n"

// Pack is the changes as a link carries them.
func (c Changes) Pack() string {
	var short strings.Builder
	for _, one := range c.List {
		expr := one.Expr
		if one.Path == "Tyre" {
			expr = `tyreSize("` + one.Words + `")`
		} else if one.Words == "" {
			expr = strings.ReplaceAll(expr, " ", "")
		}
		short.WriteString(one.Path + "=" + expr + "\n")
	}
	var out bytes.Buffer
	w, err := flate.NewWriterDict(&out, flate.BestCompression, []byte(packWords))
	if err == nil {
		if _, err = io.WriteString(w, short.String()); err == nil {
			err = w.Close()
		}
	}
	if err != nil {
		panic("yours: " + err.Error()) // memory doesn't fail
	}
	return version + base64.RawURLEncoding.EncodeToString(out.Bytes())
}

// Unpack reads what a link carries. Nobody knows who wrote it: what comes out has gone through Parse like any other text.
func Unpack(name, packed string) (Changes, diag.List) {
	none := Changes{Name: name}
	bad := diag.List{snippet("").Fault(1, 1, 0, "", "this link's values can't be read: it was cut off or changed on its way")}
	rest, known := strings.CutPrefix(packed, version)
	if !known || len(rest) > MaxBytes {
		return none, bad
	}
	deflated, err := base64.RawURLEncoding.DecodeString(rest)
	if err != nil {
		return none, bad
	}
	short, err := io.ReadAll(io.LimitReader(flate.NewReaderDict(bytes.NewReader(deflated), []byte(packWords)), MaxBytes+1))
	if err != nil || len(short) > MaxBytes {
		return none, bad
	}
	if len(short) == 0 {
		return none, nil
	}
	var text strings.Builder
	for _, line := range strings.Split(strings.TrimSuffix(string(short), "\n"), "\n") {
		path, expr, _ := strings.Cut(line, "=")
		if path == "Tyre" {
			expr = strings.TrimSuffix(expr, ")") + ", " + name + ".Tyre)"
		}
		text.WriteString(name + "." + path + " = " + expr + "\n")
	}
	return Parse(name, text.String())
}
