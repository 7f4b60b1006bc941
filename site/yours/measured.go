package yours

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"turnplate/sim"
	"turnplate/site/diag"
)

// Survey gives the changes with the points that a survey's readings come to; start is the vehicle with the changes so
// far, which gives where to search. lines are the file's lines of the readings, for a mistake in one. said is what the
// reader has to know about it.
func (c Changes) Survey(start sim.Vehicle, readings []sim.SurveyReading, lines []int) (out Changes, said string, err error) {
	found, err := sim.Survey{Readings: readings, Start: start, Tape: 2e-3, Floor: 2e-3, Height: 1e-3}.Run()
	if err != nil {
		var one sim.ReadingError
		if errors.As(err, &one) && one.Row < len(lines) {
			hint := ""
			if near := diag.DidYouMean(one.Word, one.Known); near != "" {
				hint = " (" + near + ")"
			}
			err = fmt.Errorf("line %d: %s%s", lines[one.Row], one.Message, hint)
		}
		return c, "", err
	}
	changed := points(&start.Front, &found.Front, "Front.")
	if found.Right != found.Front {
		right := start.Front
		if start.Right != nil {
			right = *start.Right
		}
		changed = append(changed, points(&right, &found.Right, "Right.")...)
	}
	if start.Front.Lift != 0 || start.Right != nil && start.Right.Lift != 0 {
		changed = append(changed, Change{Path: "Both.Lift", Expr: "0*mm"})
	}
	if out, err = c.with(changed); err != nil {
		return c, "", err
	}
	said = fmt.Sprintf("%d readings gave the points, to a tenth of a millimetre. How sure each is, and that they vary together, is lost: each counts as exact here.", len(readings))
	if start.Front.Lift != 0 || start.Right != nil && start.Right.Lift != 0 {
		said += " They are where the truck stood when it was measured, so the lift in front counts as none."
	}
	if worst := slices.Index(found.Row, found.Suspect); worst >= 0 && math.Abs(found.Standardised[worst]) > suspicious {
		said += fmt.Sprintf(" One reading stands out, by %.1f of its standard deviations: %s. Read it again.", math.Abs(found.Standardised[worst]), sim.ReadingWords(found.Suspect))
	}
	return out, said, nil
}

// suspicious is a standardised residual that chance gives once in a thousand (Baarda 1968, from memory: see sim.Survey).
const suspicious = 3.29

// points are the changes that make the points of one corner those of another, to a tenth of a millimetre.
func points(from, to *sim.Corner, prefix string) []Change {
	was := map[string]string{}
	from.Measured(func(name string, at *sim.Point) { was[name] = tenths(at) })
	var list []Change
	to.Measured(func(name string, at *sim.Point) {
		if expr := tenths(at); expr != was[name] {
			list = append(list, Change{Path: prefix + name, Expr: expr})
		}
	})
	return list
}

// tenths is a point in millimetres, to a tenth of one.
func tenths(p *sim.Point) string {
	tenth := func(x float64) string { return decimal(math.Round(x*1e4) / 10) }
	return fmt.Sprintf("at(%s, %s, %s)*mm", tenth(p.X), tenth(p.Y), tenth(p.Z))
}

// with gives the changes with others in the place of what they replace.
func (c Changes) with(list []Change) (Changes, error) {
	out := c
	for _, one := range list {
		out.List = append(out.without(one.Path), one)
	}
	read, faults := Parse(c.Name, Changes{c.Name, whole(out.List)}.Text())
	if len(faults) > 0 {
		return c, errors.New(faults[0].Message)
	}
	return read, nil
}

// printed is the standard deviation of a printout that is to be met, in radians: small, because here the points give way.
const printed = 0.02 * degree

// guessed is how far the points of one truck may be from those of another of its make, in metres: a standard deviation
// (assumed).
const guessed = 10e-3

// Printout gives the changes with which the truck stands as an alignment printout says: values in degrees, by
// "Caster.Left" and the like; of an angle that was read on one side alone, both have that. now is the vehicle with the changes so far,
// as it stood on the rack. Its points move, and with them camber and toe as measured, by as little as will do.
func (c Changes) Printout(now sim.Vehicle, typed map[string]string) (out Changes, said string, err error) {
	m := sim.Reconcile{Vehicle: now, PointDeviation: guessed, Sweep: 20 * degree, CamberDeviation: printed, CasterDeviation: printed, ToeDeviation: printed}
	for name, to := range map[string]**sim.Sides{"Camber": &m.Camber, "Caster": &m.Caster, "Toe": &m.Toe} {
		left, haveLeft, err := angle(typed[name+".Left"])
		right, haveRight, err2 := angle(typed[name+".Right"])
		if err = errors.Join(err, err2); err != nil {
			return c, "", fmt.Errorf("%s: %w", strings.ToLower(name), err)
		}
		switch {
		case !haveLeft && !haveRight:
			continue
		case !haveLeft:
			left = right
		case !haveRight:
			right = left
		}
		*to = &sim.Sides{Left: left, Right: right}
	}
	found, err := m.Run()
	if err != nil {
		return c, "", err
	}
	list := angles(&now.Front, &found.Vehicle.Front, "Front.")
	list = append(list, points(&now.Front, &found.Vehicle.Front, "Front.")...)
	most := furthest(found.Moved)
	if right := found.Vehicle.Right; right != nil {
		was := now.Front
		if now.Right != nil {
			was = *now.Right
		}
		list = append(list, points(&was, right, "Right.")...)
		list = append(list, angles(&was, right, "Right.")...)
		most = max(most, furthest(found.Right.Moved))
	}
	if out, err = c.with(list); err != nil {
		return c, "", err
	}
	said = fmt.Sprintf("The points have moved, by up to %.1f mm, until the truck stands as printed. That is a likely explanation, not a measurement: a survey knows better.", most*1e3)
	return out, said, nil
}

const degree = math.Pi / 180

// angles are the changes of camber and toe as measured, to a thousandth of a degree.
func angles(from, to *sim.Corner, prefix string) []Change {
	var list []Change
	for _, one := range []struct {
		name     string
		from, to float64
	}{{"Camber", from.Camber, to.Camber}, {"Toe", from.Toe, to.Toe}} {
		thousandth := func(x float64) string { return decimal(math.Round(x/degree*1e3)/1e3) + "*deg" }
		if expr := thousandth(one.to); expr != thousandth(one.from) {
			list = append(list, Change{Path: prefix + one.name, Expr: expr})
		}
	}
	return list
}

func furthest(moved []float64) (most float64) {
	for _, x := range moved {
		most = max(most, math.Abs(x))
	}
	return most
}

// angle reads an angle as it stands on a printout: "-0.4", "0,15°".
func angle(text string) (x float64, given bool, err error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, false, nil
	}
	c, faults := Changes{Name: "truck"}.Set("Front.Camber", text, false)
	if len(faults) > 0 {
		return 0, false, fmt.Errorf("%q isn't an angle in degrees", text)
	}
	return c.List[0].Numbers[0], true, nil
}
