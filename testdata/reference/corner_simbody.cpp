// Poses of a two-arm front corner by a multibody library: writes corner_simbody.csv.
//
// Needs Simbody (Debian's libsimbody-dev):
//   g++ -O1 corner_simbody.cpp $(pkg-config --cflags --libs simbody) -o /tmp/corner && /tmp/corner > corner_simbody.csv
//
// Here the arms are bodies. Each hangs on the ground by a pin along the line of its two pivots as set, placed by the
// triangle of pivot, pivot and ball joint; the knuckle is a free body held to both arms by ball constraints and to the
// rack by a rod, with its wheel centre in a level plane. Simbody's own projection closes the loops. Each pose is
// reached from the measured position in small steps of adjusters, height and rack together, so that the branch is
// the one that the corner can move to.
//
// Axes: x forward, y left, z up, body-fixed; metres and radians. In every other row the rack lies behind the axle.
#include <Simbody.h>
#include <cstdio>
#include <random>
#include <string>
#include <vector>
using namespace SimTK;

struct Points { Vec3 uf, ur, ub, lf, lr, lb, ti, to, wc; };

struct Setting { double camFront, camRear, shift, frontLeg, rearLeg, tie, bump, rack; };

static std::mt19937_64 generator(20240612);

static double spread(double most) { return most * (2.0 * (generator() >> 11) / 9007199254740992.0 - 1.0); }

static double rounded(double x) { return std::round(x * 1e6) / 1e6; }

static Vec3 near(double x, double y, double z) {
    double a = spread(0.02), b = spread(0.02), c = spread(0.02);
    return Vec3(rounded(x + a), rounded(y + b), rounded(z + c));
}

// An arm with its pin: the frame at the foot of the ball joint on the pivot line, z along the line, x to the ball.
struct Arm { Transform pin; double radius; };

static Arm arm(const Vec3& front, const Vec3& rear, double frontLeg, double rearLeg, const Vec3& measured) {
    Vec3 line = front - rear;
    double base = line.norm();
    UnitVec3 z(line);
    double foot = (rearLeg * rearLeg - frontLeg * frontLeg + base * base) / (2 * base);
    Vec3 centre = rear + foot * z;
    Vec3 out = measured - centre;
    out -= dot(out, z) * z;
    return Arm{Transform(Rotation(z, ZAxis, out, XAxis), centre), std::sqrt(rearLeg * rearLeg - foot * foot)};
}

// Generalised coordinates carried from step to step: both arms' angles and the knuckle's seven.
static Vector carried;

static bool solve(const Points& p, const Setting& s, double share, Vec3 at[4]) {
    MultibodySystem system;
    SimbodyMatterSubsystem matter(system);
    Body::Rigid body(MassProperties(1, Vec3(0), UnitInertia(0.1, 0.1, 0.1)));
    Vec3 y(0, 1, 0), aft = (p.ur - p.uf).normalize();
    Arm lower = arm(p.lf + share * s.camFront * y, p.lr + share * s.camRear * y, (p.lb - p.lf).norm(), (p.lb - p.lr).norm(), p.lb);
    Arm upper = arm(p.uf + share * s.shift * aft, p.ur + share * s.shift * aft,
                    (p.ub - p.uf).norm() + share * s.frontLeg, (p.ub - p.ur).norm() + share * s.rearLeg, p.ub + share * s.shift * aft);
    MobilizedBody::Pin lowerArm(matter.Ground(), lower.pin, body, Transform());
    MobilizedBody::Pin upperArm(matter.Ground(), upper.pin, body, Transform());
    MobilizedBody::Free knuckle(matter.Ground(), Transform(), body, Transform());
    Constraint::Ball(lowerArm, Vec3(lower.radius, 0, 0), knuckle, p.lb);
    Constraint::Ball(upperArm, Vec3(upper.radius, 0, 0), knuckle, p.ub);
    Constraint::Rod(matter.Ground(), p.ti + share * s.rack * y, knuckle, p.to, (p.to - p.ti).norm() + share * s.tie);
    Constraint::PointInPlane(matter.Ground(), UnitVec3(ZAxis), p.wc[2] + share * s.bump, knuckle, p.wc);
    State state = system.realizeTopology();
    if (carried.size() == state.getNQ()) state.updQ() = carried;
    try {
        system.realize(state, Stage::Position);
        // Projection stops within its tolerance; asked again from there it comes down to rounding.
        for (double tolerance : {1e-6, 1e-10, 1e-14}) {
            ProjectOptions options(tolerance);
            options.setOption(ProjectOptions::ForceProjection);
            options.setProjectionLimit(Infinity);
            ProjectResults results;
            Vector none;
            system.realize(state, Stage::Position);
            system.projectQ(state, none, options, results);
        }
        system.realize(state, Stage::Position);
        if (state.getQErr().norm() > 1e-13) return false;
    } catch (const std::exception& e) {
        std::fprintf(stderr, "%s\n", e.what());
        return false;
    }
    carried = state.getQ();
    at[0] = knuckle.findStationLocationInGround(state, p.lb);
    at[1] = knuckle.findStationLocationInGround(state, p.ub);
    at[2] = knuckle.findStationLocationInGround(state, p.to);
    at[3] = knuckle.findStationLocationInGround(state, p.wc);
    return true;
}

int main() {
    const char* names[] = {"upper_front", "upper_rear", "upper_ball", "lower_front", "lower_rear", "lower_ball", "tie_inner", "tie_outer", "wheel_centre"};
    for (const char* n : names) std::printf("%s_x,%s_y,%s_z,", n, n, n);
    std::printf("cam_front,cam_rear,shift,front_leg,rear_leg,tie_rod,bump,rack");
    for (const char* n : {"at_lower", "at_upper", "at_tie", "at_centre"}) std::printf(",%s_x,%s_y,%s_z", n, n, n);
    std::printf("\n");
    for (int row = 0; row < 120;) {
        double ahead = row % 2 ? -1 : 1;
        Points p{near(0.090, 0.420, 0.610), near(-0.130, 0.425, 0.595), near(-0.022, 0.665, 0.620),
                 near(0.180, 0.340, 0.265), near(-0.200, 0.345, 0.262), near(0.012, 0.735, 0.245),
                 near(ahead * 0.135, 0.360, 0.300), near(ahead * 0.150, 0.718, 0.288), near(0, 0.800, 0.385)};
        Setting s{rounded(spread(0.008)), rounded(spread(0.008)), rounded(spread(0.008)), rounded(spread(0.006)), rounded(spread(0.006)),
                  rounded(spread(0.005)), rounded(spread(0.08)), rounded(spread(0.06))};
        carried.resize(0);
        Vec3 at[4];
        bool ok = true;
        const int steps = 10;
        for (int i = 0; ok && i <= steps; ++i) ok = solve(p, s, double(i) / steps, at);
        if (!ok) {
            std::fprintf(stderr, "row %d left out\n", row);
            continue;
        }
        const Vec3* all[] = {&p.uf, &p.ur, &p.ub, &p.lf, &p.lr, &p.lb, &p.ti, &p.to, &p.wc};
        for (const Vec3* v : all) std::printf("%.6f,%.6f,%.6f,", (*v)[0], (*v)[1], (*v)[2]);
        std::printf("%.6f,%.6f,%.6f,%.6f,%.6f,%.6f,%.6f,%.6f", s.camFront, s.camRear, s.shift, s.frontLeg, s.rearLeg, s.tie, s.bump, s.rack);
        for (const Vec3& v : at) std::printf(",%.13f,%.13f,%.13f", v[0], v[1], v[2]);
        std::printf("\n");
        ++row;
    }
}
