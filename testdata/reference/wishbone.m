% The same corner, by other software and other unknowns: writes wishbone_octave.csv.
%
% Run with GNU Octave: octave --no-gui --quiet wishbone.m
%
% Here the unknowns are the twelve coordinates of the four places on the knuckle (two ball joints, outer tie-rod
% joint, wheel centre), and the twelve equations are distances: five links, the six distances between the four
% places, and the wheel centre's height. Solved by fsolve, from the measured position in small steps, for the first
% pose of every vehicle of wishbone.json, whose inputs it shares and whose results it doesn't read.
1;

function r = miss(x, anchor, link, shape, height)
  p = reshape(x, 3, 4);                       % columns: lower ball, upper ball, tie outer, wheel centre
  on = [1 1 2 2 3];
  r = zeros(12, 1);
  for i = 1:5
    r(i) = norm(p(:, on(i)) - anchor(:, i)) - link(i);
  end
  pairs = nchoosek(1:4, 2);
  for i = 1:6
    r(5 + i) = norm(p(:, pairs(i, 1)) - p(:, pairs(i, 2))) - shape(i);
  end
  r(12) = p(3, 4) - height;
end

vehicles = jsondecode(fileread("wishbone.json"));
out = fopen("wishbone_octave.csv", "w");
fprintf(out, "vehicle,lower_x,lower_y,lower_z,upper_x,upper_y,upper_z,tie_x,tie_y,tie_z,centre_x,centre_y,centre_z\n");
options = optimset("TolX", 1e-15, "TolFun", 1e-15, "MaxIter", 400, "MaxFunEvals", 20000);
steps = 8;
for n = 1:numel(vehicles)
  v = vehicles(n);
  if iscell(v) v = v{1}; end
  p = v.points;
  s = v.settings;
  pose = v.poses(1);
  if iscell(pose) pose = pose{1}; end
  measured = [p.LowerBall, p.UpperBall, p.TieOuter, p.WheelCentre];
  pivots = [p.LowerFront, p.LowerRear, p.UpperFront, p.UpperRear, p.TieInner];
  on = [1 1 2 2 3];
  for i = 1:5
    link0(i) = norm(measured(:, on(i)) - pivots(:, i));
  end
  pairs = nchoosek(1:4, 2);
  for i = 1:6
    shape(i) = norm(measured(:, pairs(i, 1)) - measured(:, pairs(i, 2)));
  end
  aft = (p.UpperRear - p.UpperFront) / norm(p.UpperRear - p.UpperFront);
  y = [0; 1; 0];
  x = measured(:);
  for k = 1:steps
    f = k / steps;
    anchor = pivots + f * [s.LowerFront * y, s.LowerRear * y, s.UpperShift * aft, s.UpperShift * aft, pose.rack * y];
    link = link0 + f * [0, 0, s.UpperFrontLeg, s.UpperRearLeg, s.TieRod];
    height = p.WheelCentre(3) + f * pose.bump;
    [x, ~, info] = fsolve(@(x) miss(x, anchor, link, shape, height), x, options);
    for polish = 1:3                          % Newton with central differences, to rounding
      jac = zeros(12);
      for c = 1:12
        e = zeros(12, 1); e(c) = 1e-6;
        jac(:, c) = (miss(x + e, anchor, link, shape, height) - miss(x - e, anchor, link, shape, height)) / 2e-6;
      end
      x = x - jac \ miss(x, anchor, link, shape, height);
    end
  end
  if norm(miss(x, anchor, link, shape, height), Inf) > 1e-14
    error("vehicle %d: no solution", n - 1);
  end
  fprintf(out, "%d", n - 1);
  fprintf(out, ",%.13f", x);
  fprintf(out, "\n");
end
fclose(out);
