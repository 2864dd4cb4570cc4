// SPDX-License-Identifier: MIT
// What the page for marking draws over the still and in the loupe: the marks,
// and the surface's edges where the camera solved from them has them.
//
// `state`: marks (a Map from name to [u, v]), current (a name), solved (as
// markSolver.solve() gives it), edges ([from, to] in m), offLimit (px), words
// (name to words), middle (px, what the loupe shows), zoom, width, height.
"use strict";
const markDrawing = (() => {
  const fitted = (canvas) => {
    const box = canvas.getBoundingClientRect(), dense = window.devicePixelRatio || 1;
    canvas.width = Math.max(1, Math.round(box.width * dense));
    canvas.height = Math.max(1, Math.round(box.height * dense));
    const ctx = canvas.getContext("2d");
    ctx.setTransform(dense, 0, 0, dense, 0, 0);
    return {ctx, w: box.width, h: box.height};
  };

  const stroke = (ctx, colour, wide) => {
    ctx.strokeStyle = "rgba(0, 0, 0, 0.75)";
    ctx.lineWidth = wide + 2;
    ctx.stroke();
    ctx.strokeStyle = colour;
    ctx.lineWidth = wide;
    ctx.stroke();
  };

  // In pieces, since the lens bends what is straight on the surface.
  const edge = (ctx, place, camera, from, to) => {
    let open = false;
    ctx.beginPath();
    for (let i = 0; i <= 24; ++i) {
      const p = markSolver.project(
        camera, from.map((x, k) => x + (to[k] - x) * i / 24));
      if (!p) {
        open = false;
        continue;
      }
      const [x, y] = place(p);
      if (open) ctx.lineTo(x, y); else ctx.moveTo(x, y);
      open = true;
    }
    stroke(ctx, "#2fe3ff", 1.2);
  };

  const drawSolution = (ctx, place, {solved, edges}) => {
    if (!solved.camera) return;
    for (const [from, to] of edges) edge(ctx, place, solved.camera, from, to);
  };

  const drawMark = (ctx, place, name, {marks, current, solved, ...state}) => {
    const [x, y] = place(marks.get(name));
    const bad = solved.off && solved.off[name] > state.offLimit;
    const r = name === current ? 9 : 6;
    ctx.beginPath();
    ctx.moveTo(x - r, y); ctx.lineTo(x - 2, y);
    ctx.moveTo(x + 2, y); ctx.lineTo(x + r, y);
    ctx.moveTo(x, y - r); ctx.lineTo(x, y - 2);
    ctx.moveTo(x, y + 2); ctx.lineTo(x, y + r);
    if (bad) {
      ctx.moveTo(x + r + 3, y);
      ctx.arc(x, y, r + 3, 0, 2 * Math.PI);
    }
    stroke(ctx, bad ? "#ff6a55" : "#ffd400", 1.5);
    if (!bad && name !== current) return;
    const text = state.words(name) +
      (bad ? ", off by " + solved.off[name].toFixed(0) + " px" : "");
    ctx.font = "13px system-ui, sans-serif";
    ctx.lineJoin = "round";
    ctx.lineWidth = 3;
    ctx.strokeStyle = "rgba(0, 0, 0, 0.85)";
    ctx.fillStyle = "#ffffff";
    const left = x + ctx.measureText(text).width + 16 > ctx.canvas.clientWidth;
    ctx.textAlign = left ? "right" : "left";
    const at = [x + (left ? -14 : 14), y < 24 ? y + 20 : y - 10];
    ctx.strokeText(text, ...at);
    ctx.fillText(text, ...at);
  };

  const stage = (canvas, state) => {
    const {ctx, w} = fitted(canvas);
    const scale = w / state.width;
    const place = ([u, v]) => [(u + 0.5) * scale, (v + 0.5) * scale];
    drawSolution(ctx, place, state);
    for (const name of state.marks.keys()) drawMark(ctx, place, name, state);
  };

  const loupe = (canvas, still, state) => {
    const {ctx, w, h} = fitted(canvas);
    const {zoom, middle} = state;
    const place = ([u, v]) => [w / 2 + (u - middle[0]) * zoom,
                               h / 2 + (v - middle[1]) * zoom];
    ctx.fillStyle = "#202020";
    ctx.fillRect(0, 0, w, h);
    ctx.imageSmoothingEnabled = zoom < 8;
    const [x, y] = place([-0.5, -0.5]);
    if (still.complete) {
      ctx.drawImage(still, x, y, state.width * zoom, state.height * zoom);
    }
    drawSolution(ctx, place, state);
    ctx.beginPath();
    ctx.moveTo(0, h / 2); ctx.lineTo(w / 2 - 6, h / 2);
    ctx.moveTo(w / 2 + 6, h / 2); ctx.lineTo(w, h / 2);
    ctx.moveTo(w / 2, 0); ctx.lineTo(w / 2, h / 2 - 6);
    ctx.moveTo(w / 2, h / 2 + 6); ctx.lineTo(w / 2, h);
    stroke(ctx, state.marks.has(state.current) ? "#ffd400" : "#ffffff", 1);
  };

  return {stage, loupe};
})();
