// Yaw momentum of steered wheels by a multibody library: writes yawmomentum_simbody.csv.
//
// Needs Simbody (Debian's libsimbody-dev), and yawmomentum.csv in this folder for the wheels:
//   g++ -O1 yawmomentum_simbody.cpp $(pkg-config --cflags --libs simbody) -o /tmp/momentum && /tmp/momentum > yawmomentum_simbody.csv
//
// The body moves in the plane of the road: sideways, and turning about the vertical through its own centre of mass. The wheel
// is a second body on a pin along its steering axis; it doesn't spin on its knuckle. The knuckle is an inertia about that
// axis, added to the wheel's. The entries of the mass matrix that Simbody makes of it, less what the body has without the wheel,
// are printed: yaw and steering (the momentum), steering alone, and sideways and steering (mass off its axis, which the
// models leave out).
#include <Simbody.h>
#include <cstdio>
#include <fstream>
#include <sstream>
using namespace SimTK;

int main() {
    std::ifstream in("yawmomentum.csv");
    std::string line;
    std::printf("# mass matrix by Simbody, made by yawmomentum_simbody.cpp\ncross,own,sideways\n");
    while (std::getline(in, line)) {
        if (line[0] == '#' || line[0] == 'm') continue;
        std::stringstream cells(line);
        double v[21];
        for (double& x : v) {
            std::string cell;
            std::getline(cells, cell, ',');
            x = std::stod(cell);
        }
        double mass = v[0], diameter = v[1], spinning = v[2], knuckle = v[3];
        Vec3 fromMass(v[4], v[5], v[6]), axis(v[7], v[8], v[9]), fromAxis(v[10], v[11], v[12]), spin(v[13], v[14], v[15]), up(v[16], v[17], v[18]);
        UnitVec3 k(axis), u(up);

        MultibodySystem system;
        SimbodyMatterSubsystem matter(system);
        // A heavy body whose planar joint has the vertical as its z; y is as near to the left as that allows.
        Body::Rigid hull(MassProperties(2000, Vec3(0), Inertia(2000, 2000, 4000)));
        Transform level(Rotation(u, ZAxis, Vec3(0, 1, 0), YAxis));
        MobilizedBody::Planar body(matter.Ground(), level, hull, level);
        // The wheel's own frame lies at its centre, parallel to the body's; the pin lies on the steering axis.
        Mat33 tensor = diameter * Mat33(1);
        for (int i = 0; i < 3; ++i)
            for (int j = 0; j < 3; ++j) tensor(i, j) += (spinning - diameter) * spin[i] * spin[j] + knuckle * k[i] * k[j];
        Inertia inertia(tensor(0, 0), tensor(1, 1), tensor(2, 2), tensor(0, 1), tensor(0, 2), tensor(1, 2));
        Body::Rigid wheelBody(MassProperties(mass, Vec3(0), inertia));
        Rotation along(k, ZAxis);
        MobilizedBody::Pin wheel(body, Transform(along, fromMass - fromAxis), wheelBody, Transform(along, -fromAxis));
        system.realizeTopology();
        State state = system.getDefaultState();
        system.realize(state, Stage::Position);
        Matrix m;
        matter.calcM(state, m); // planar joint: angle, x, y; then the pin
        std::printf("%.15e,%.15e,%.15e\n", m(0, 3), m(3, 3), m(2, 3));
    }
    return 0;
}
