// SPDX-License-Identifier: MIT
// The camera behind marked points, quickly, for the drawing that follows the
// marks: a pinhole with one radial term, no principal point of its own, as
// geometry/camera_model.h projects. `calibrate` solves the whole camera from
// the marks, with the picture's lines; what is found here goes nowhere.
//
//   start   homography from the points of the plane z = 0, pose from it (Zhang
//           2000, "A flexible new technique for camera calibration"), the best
//           of a ladder of focal lengths
//   then    Levenberg-Marquardt on what the points are off by, in pixels, with
//           Cauchy's weights, and the priors of calibration/camera_solver.h
"use strict";
const markSolver = (() => {
  const FOCAL_MEAN = Math.log(0.9), FOCAL_SD = 0.7;  // of the width, in logs
  const K1_MEAN = -0.05, K1_SD = 0.1;
  const ROBUST_PX = 3;
  const LEAST_POINTS = 4;
  const APART_M = 0.01;  // nearer, two points are as good as one

  const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2],
                           a[0] * b[1] - a[1] * b[0]];
  const scaled = (a, s) => a.map((x) => x * s);
  const plus = (a, b) => a.map((x, i) => x + b[i]);
  const unit = (a) => scaled(a, 1 / Math.sqrt(dot(a, a)));
  const timesVector = (m, x) => m.map((row) => dot(row, x));
  const transposed = (m) => m[0].map((_, j) => m.map((row) => row[j]));
  const times = (a, b) => {
    const columns = transposed(b);
    return a.map((row) => columns.map((column) => dot(row, column)));
  };

  // Gauss's elimination with pivots; null when the rows do not determine x.
  const solveLinear = (matrix, right) => {
    const n = right.length;
    const rows = matrix.map((row, i) => [...row, right[i]]);
    const size = Math.max(...matrix.map((row) => Math.max(...row.map(Math.abs))));
    for (let i = 0; i < n; ++i) {
      let pivot = i;
      for (let k = i + 1; k < n; ++k) {
        if (Math.abs(rows[k][i]) > Math.abs(rows[pivot][i])) pivot = k;
      }
      if (!(Math.abs(rows[pivot][i]) > 1e-10 * size)) return null;
      [rows[i], rows[pivot]] = [rows[pivot], rows[i]];
      for (let k = i + 1; k < n; ++k) {
        const part = rows[k][i] / rows[i][i];
        for (let j = i; j <= n; ++j) rows[k][j] -= part * rows[i][j];
      }
    }
    const x = new Array(n).fill(0);
    for (let i = n - 1; i >= 0; --i) {
      let rest = rows[i][n];
      for (let j = i + 1; j < n; ++j) rest -= rows[i][j] * x[j];
      x[i] = rest / rows[i][i];
    }
    return x;
  };

  // What a cloud of points is moved and shrunk by before it is solved with.
  const normaliser = (points) => {
    const n = points.length;
    const middle = [0, 1].map((k) => points.reduce((s, p) => s + p[k], 0) / n);
    const far = points.reduce(
      (s, p) => s + Math.hypot(p[0] - middle[0], p[1] - middle[1]), 0) / n;
    const s = far > 0 ? Math.SQRT2 / far : 1;
    return {to: (p) => [s * (p[0] - middle[0]), s * (p[1] - middle[1])],
            back: [[1 / s, 0, middle[0]], [0, 1 / s, middle[1]], [0, 0, 1]],
            there: [[s, 0, -s * middle[0]], [0, s, -s * middle[1]], [0, 0, 1]]};
  };

  // Least squares with the last element 1: the middle of the points, where it is
  // the depth, is in front of the camera.
  const homography = (marks) => {
    const from = normaliser(marks.map((m) => m.table));
    const to = normaliser(marks.map((m) => m.picture));
    const normal = Array.from({length: 8}, () => new Array(8).fill(0));
    const right = new Array(8).fill(0);
    for (const mark of marks) {
      const [x, y] = from.to(mark.table), [u, v] = to.to(mark.picture);
      for (const [row, value] of [[[x, y, 1, 0, 0, 0, -u * x, -u * y], u],
                                  [[0, 0, 0, x, y, 1, -v * x, -v * y], v]]) {
        for (let i = 0; i < 8; ++i) {
          right[i] += row[i] * value;
          for (let j = 0; j < 8; ++j) normal[i][j] += row[i] * row[j];
        }
      }
    }
    const h = solveLinear(normal, right);
    if (!h) return null;
    const m = [[h[0], h[1], h[2]], [h[3], h[4], h[5]], [h[6], h[7], 1]];
    return times(times(to.back, m), from.there);
  };

  // All of the points but one, or all, lie on one line of the surface.
  const onOneLine = (points) => points.some((a) => points.some((b) => {
    const x = b[0] - a[0], y = b[1] - a[1], length = Math.hypot(x, y);
    if (length < APART_M) return false;
    const on = points.filter((p) =>
      Math.abs(x * (p[1] - a[1]) - y * (p[0] - a[0])) < APART_M * length);
    return on.length >= points.length - 1;
  }));

  const eyeOf = (camera) =>
    scaled(timesVector(transposed(camera.turn), camera.shift), -1);

  // null: behind the camera, or beyond where the distortion turns back.
  const project = (camera, point) => {
    const c = plus(timesVector(camera.turn, point), camera.shift);
    if (!(c[2] > 1e-6)) return null;
    const x = c[0] / c[2], y = c[1] / c[2], r2 = x * x + y * y;
    if (1 + r2 * (3 * camera.k1 + 5 * r2 * camera.k2) <= 0) return null;
    const scale = camera.focal * (1 + r2 * (camera.k1 + r2 * camera.k2));
    return [camera.centre[0] + scale * x, camera.centre[1] + scale * y];
  };

  const poseFrom = (h, focal, centre) => {
    const columns = transposed(h).map((c) => [
      (c[0] - centre[0] * c[2]) / focal, (c[1] - centre[1] * c[2]) / focal, c[2]]);
    const [a, b] = columns;
    let scale = 2 / (Math.sqrt(dot(a, a)) + Math.sqrt(dot(b, b)));
    if (columns[2][2] < 0) scale = -scale;
    // The two unit vectors nearest to both that are square to each other.
    const ua = unit(scaled(a, scale)), ub = unit(scaled(b, scale));
    const sum = unit(plus(ua, ub)), apart = unit(plus(ua, scaled(ub, -1)));
    const x = scaled(plus(sum, apart), Math.SQRT1_2);
    const y = scaled(plus(sum, scaled(apart, -1)), Math.SQRT1_2);
    return {turn: transposed([x, y, cross(x, y)]),
            shift: scaled(columns[2], scale)};
  };

  const offBy = (camera, mark) => {
    const p = project(camera, mark.table);
    return p ? [p[0] - mark.picture[0], p[1] - mark.picture[1]] : [1e4, 1e4];
  };

  const lossOf = (camera, marks) => marks.reduce((sum, mark) => {
    const [du, dv] = offBy(camera, mark);
    return sum + Math.log(1 + (du * du + dv * dv) / (ROBUST_PX * ROBUST_PX));
  }, 0);

  const startFrom = (marks, view) => {
    const h = homography(marks);
    if (!h) return null;
    let best = null;
    for (let i = 0; i < 25; ++i) {
      const focal = view.lens ? view.lens.focal
                  : view.width * 0.5 * Math.pow(6, i / 24);
      const camera = {focal, k1: view.lens ? view.lens.k1 : 0,
                      k2: view.lens ? view.lens.k2 : 0, centre: view.centre,
                      ...poseFrom(h, focal, view.centre)};
      if (!(eyeOf(camera)[2] > 0)) continue;
      const loss = lossOf(camera, marks);
      if (!best || loss < best.loss) best = {camera, loss};
      if (view.lens) break;
    }
    return best;
  };

  const turnedBy = (turn, w) => {
    const angle = Math.hypot(...w);
    if (angle < 1e-14) return turn;
    const [x, y, z] = scaled(w, 1 / angle);
    const c = Math.cos(angle), s = Math.sin(angle), d = 1 - c;
    return times([[c + d * x * x, d * x * y - s * z, d * x * z + s * y],
                  [d * x * y + s * z, c + d * y * y, d * y * z - s * x],
                  [d * x * z - s * y, d * y * z + s * x, c + d * z * z]], turn);
  };

  // Unknowns: log of the focal length, k1, turn, shift.
  const movedBy = (camera, d) => ({
    ...camera, focal: camera.focal * Math.exp(d[0]), k1: camera.k1 + d[1],
    turn: turnedBy(camera.turn, d.slice(2, 5)),
    shift: plus(camera.shift, d.slice(5, 8))});

  const residuals = (camera, marks, view) => {
    const lens = view.lens;
    const rows = [
      (Math.log(camera.focal / (lens ? lens.focal : view.width)) -
       (lens ? 0 : FOCAL_MEAN)) / (lens ? 0.002 : FOCAL_SD),
      (camera.k1 - (lens ? lens.k1 : K1_MEAN)) / (lens ? 0.005 : K1_SD)];
    for (const mark of marks) rows.push(...offBy(camera, mark));
    return rows;
  };

  // Of the squares that are minimised: the priors' and the marks' by Cauchy.
  const costOf = (camera, marks, view) => {
    const [focal, k1] = residuals(camera, [], view);
    return focal * focal + k1 * k1 +
           ROBUST_PX * ROBUST_PX * lossOf(camera, marks);
  };

  const refine = (start, marks, view) => {
    let camera = start, cost = costOf(camera, marks, view), damping = 1e-3;
    for (let round = 0; round < 60; ++round) {
      const now = residuals(camera, marks, view);
      const weight = now.map((_, row) => {
        if (row < 2) return 1;
        const first = row - row % 2;
        const square = now[first] * now[first] + now[first + 1] * now[first + 1];
        return 1 / (1 + square / (ROBUST_PX * ROBUST_PX));
      });
      const slopes = [];
      for (let k = 0; k < 8; ++k) {
        const step = new Array(8).fill(0);
        step[k] = 1e-6;
        const up = residuals(movedBy(camera, step), marks, view);
        step[k] = -1e-6;
        const down = residuals(movedBy(camera, step), marks, view);
        slopes.push(up.map((value, i) => (value - down[i]) / 2e-6));
      }
      const weighed = (a, b) =>
        a.reduce((sum, value, i) => sum + weight[i] * value * b[i], 0);
      const normal = slopes.map((a) => slopes.map((b) => weighed(a, b)));
      const right = slopes.map((a) => -weighed(a, now));
      let better = false;
      for (let tries = 0; tries < 8 && !better; ++tries) {
        const step = solveLinear(
          normal.map((row, i) => row.map((x, j) =>
            i === j ? x * (1 + damping) : x)), right);
        const next = step ? movedBy(camera, step) : null;
        const nextCost = next ? costOf(next, marks, view) : Infinity;
        better = nextCost < cost;
        damping = better ? damping / 10 : damping * 10;
        if (!better) continue;
        const gained = cost - nextCost;
        camera = next;
        cost = nextCost;
        if (gained < 1e-9 * (1 + cost)) return {camera, cost};
      }
      if (!better) break;
    }
    return {camera, cost};
  };

  /// marks: [{name, table: [x, y, z] in m, picture: [u, v]}]; view: {width,
  /// centre: [u, v], lens: null or {focal, k1, k2}}. Gives {camera, off: px by
  /// name, rms}, or {why}: "few" points of the surface, "line" when three of
  /// four lie on one, "mirrored" when they could only be seen from below.
  const solve = (marks, view) => {
    const plane = marks.filter((mark) => mark.table[2] === 0);
    if (plane.length < LEAST_POINTS) return {why: "few"};
    if (onOneLine(plane.map((mark) => mark.table))) return {why: "line"};
    let best = null;
    const tryFrom = (some) => {
      const start = startFrom(some, view);
      if (!start) return;
      const end = refine(start.camera, marks, view);
      if (!best || end.cost < best.cost) best = end;
    };
    tryFrom(plane);
    const fits = () => best && marks.every(
      (mark) => Math.hypot(...offBy(best.camera, mark)) < 2 * ROBUST_PX);
    // One mark that is far off spoils the start: leave out each in turn.
    if (plane.length > LEAST_POINTS && !fits()) {
      for (const left of plane) tryFrom(plane.filter((mark) => mark !== left));
    }
    if (!best || !(eyeOf(best.camera)[2] > 0)) return {why: "mirrored"};
    const off = {};
    let squares = 0;
    for (const mark of marks) {
      off[mark.name] = Math.hypot(...offBy(best.camera, mark));
      squares += off[mark.name] * off[mark.name];
    }
    return {camera: best.camera, off, rms: Math.sqrt(squares / marks.length),
            eye: eyeOf(best.camera)};
  };

  /// Points of the surface and where the film's stored pictures show them, as
  /// `--points` reads them: a picture of `size` that is shown turned clockwise
  /// by `turn` degrees. Pixel centres at integers, in both.
  const stored = ([u, v], [width, height], turn) =>
    turn === 90 ? [v, height - 1 - u]
    : turn === 180 ? [width - 1 - u, height - 1 - v]
    : turn === 270 ? [width - 1 - v, u] : [u, v];
  const shown = ([u, v], [width, height], turn) =>
    turn === 90 ? [height - 1 - v, u]
    : turn === 180 ? [width - 1 - u, height - 1 - v]
    : turn === 270 ? [v, width - 1 - u] : [u, v];
  const marksFile = (marks, size, turn) =>
    ["name,u_px,v_px,width_px,height_px",
     ...marks.map(({name, picture}) => {
       const [u, v] = stored(picture, size, turn);
       return [name, u.toFixed(2), v.toFixed(2), ...size].join(",");
     })].join("\n") + "\n";

  return {solve, project, stored, shown, marksFile};
})();
