// SPDX-License-Identifier: MIT
// The solver of the page for marking, on points projected by another way than
// its own: rays from the eye onto the picture's axes.
//   node mark_solver_test.js FOLDER_OF_SCRIPTS
"use strict";
const assert = require("assert");
const fs = require("fs");
const path = require("path");
const vm = require("vm");
const {solve, stored, shown, marksFile} = vm.runInThisContext(
  fs.readFileSync(path.join(process.argv[2], "mark_solver.js"), "utf8") +
  ";markSolver");

const view = {width: 1280, centre: [639.5, 359.5], lens: null};
const eye = [0.6, -2.4, 2.0], target = [0.3, 0, 0], focal = 960, k1 = -0.1;
const minus = (a, b) => a.map((x, i) => x - b[i]);
const dot = (a, b) => a.reduce((sum, x, i) => sum + x * b[i], 0);
const unit = (a) => a.map((x) => x / Math.sqrt(dot(a, a)));
const seen = (point) => {
  const forward = unit(minus(target, eye));
  const right = unit([forward[1], -forward[0], 0]);
  const up = unit(minus([0, 0, 1], forward.map((x) => x * forward[2])));
  const ray = minus(point, eye), depth = dot(ray, forward);
  const x = dot(ray, right) / depth, y = -dot(ray, up) / depth;
  const scale = focal * (1 + k1 * (x * x + y * y));
  return [639.5 + scale * x, 359.5 + scale * y];
};
const places = {
  corner_near_left: [-1.37, 0.7625, 0], corner_near_right: [-1.37, -0.7625, 0],
  corner_far_left: [1.37, 0.7625, 0], corner_far_right: [1.37, -0.7625, 0],
  net_top_left: [0, 0.915, 0.1525], net_top_right: [0, -0.915, 0.1525],
  net_foot_left: [0, 0.7625, 0], net_foot_right: [0, -0.7625, 0],
  centre_near_left: [-1.37, 0.0015, 0], centre_far_left: [1.37, 0.0015, 0]};
const all = Object.keys(places);
const marksOf = (names) => names.map(
  (name) => ({name, table: places[name], picture: seen(places[name])}));
const near = (a, b, by) => assert(Math.abs(a - b) <= by, `${a}, not ${b}`);

let cases = 0;
const test = (what, run) => {
  try {
    run();
  } catch (error) {
    error.message = what + ": " + error.message;
    throw error;
  }
  ++cases;
};

test("the camera is recovered from all points", () => {
  const found = solve(marksOf(all), view);
  assert(found.rms < 0.05);
  near(found.camera.focal, focal, 1);
  near(found.camera.k1, k1, 0.002);
  eye.forEach((x, i) => near(found.eye[i], x, 0.003));
});
test("four corners are enough, as are a half's corners and its net", () => {
  for (const names of [all.slice(0, 4),
                       ["corner_far_left", "corner_far_right", "net_foot_left",
                        "net_foot_right", "net_top_left", "net_top_right"]]) {
    const found = solve(marksOf(names), view);
    assert(found.rms < 0.2);
    eye.forEach((x, i) => near(found.eye[i], x, 0.02));
  }
});
test("a known lens is kept", () => {
  const found = solve(marksOf(all.slice(0, 4)),
                      {...view, lens: {focal: 900, k1: 0, k2: 0}});
  near(found.camera.focal, 900, 9);
});
test("of many marks the one that is off is named, not its neighbours", () => {
  for (const wrong of ["corner_far_left", "net_top_left", "centre_near_left"]) {
    const marks = marksOf(all);
    marks.find((mark) => mark.name === wrong).picture[0] += 60;
    const {off} = solve(marks, view);
    near(off[wrong], 60, 2);
    for (const name of all) assert(name === wrong || off[name] < 2, name);
  }
});
test("exchanged corners are no view from above", () => {
  const marks = marksOf(all.slice(0, 4));
  [[0, 1], [2, 3]].forEach(([a, b]) => {
    [marks[a].picture, marks[b].picture] = [marks[b].picture, marks[a].picture];
  });
  assert.strictEqual(solve(marks, view).why, "mirrored");
});
test("too few, and all but one on a line", () => {
  assert.strictEqual(solve(marksOf(all.slice(0, 3)), view).why, "few");
  assert.strictEqual(solve(marksOf(all.slice(3, 7)), view).why, "few");
  assert.strictEqual(solve(marksOf(["corner_near_left", "corner_near_right",
                                    "centre_near_left", "corner_far_left"]),
                           view).why, "line");
});
test("a turned picture's pixels are found again", () => {
  // Clockwise by 90 degrees the stored picture's top left pixel is shown at the
  // top right.
  assert.deepStrictEqual(shown([0, 0], [640, 360], 90), [359, 0]);
  assert.deepStrictEqual(shown([0, 0], [640, 360], 180), [639, 359]);
  assert.deepStrictEqual(shown([0, 0], [640, 360], 270), [0, 639]);
  for (const turn of [0, 90, 180, 270]) {
    assert.deepStrictEqual(
      stored(shown([12.5, 99], [640, 360], turn), [640, 360], turn), [12.5, 99]);
  }
});
test("the file is what --points reads", () => {
  assert.strictEqual(
    marksFile([{name: "corner_near_left", picture: [10, 20.25]}], [640, 360], 0),
    "name,u_px,v_px,width_px,height_px\ncorner_near_left,10.00,20.25,640,360\n");
});
console.log(cases + " cases");
assert.strictEqual(cases, 8);
