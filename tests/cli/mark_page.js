// SPDX-License-Identifier: MIT
// A tester at the page that `calibrate --mark` wrote: its own scripts run on a
// document with as much behind it as they ask for, points are clicked where a
// camera shows them, and the text the page would save is written.
//   node mark_page.js PAGE CAMERA.json MARKS POINT[,du,dv]...
// CAMERA: focal, k1, eye, target, up in m, as a scene gives them; du, dv: by
// how many px a click goes astray. Prints what the page says of the marks.
"use strict";
const assert = require("assert");
const fs = require("fs");
const vm = require("vm");
const [page, cameraFile, marksFile, ...points] = process.argv.slice(2);
const html = fs.readFileSync(page, "utf8");
const scripts = [...html.matchAll(/<script>\n([^]*?)<\/script>/g)].map((m) => m[1]);
const dataText = /id="mark-data">([^]*?)<\/script>/.exec(html)[1];
assert.strictEqual(scripts.length, 3);
const data = JSON.parse(dataText);

const kShown = 390;  // css px across, as on a telephone
const [width, height] = data.turn % 180 ? [data.height, data.width]
                                        : [data.width, data.height];
class Element {
  constructor(id) {
    this.dataset = {};
    this.listeners = {};
    this.id = id;
    this.complete = true;
    this.textContent = id === "mark-data" ? dataText : "";
    this.classList = {toggle() {}};
  }
  addEventListener(kind, does) { this.listeners[kind] = does; }
  setAttribute() {}
  setPointerCapture() {}
  getBoundingClientRect() {
    return {left: 7, top: 11, width: kShown, height: kShown * height / width};
  }
  getContext() {
    return new Proxy({canvas: {clientWidth: kShown}}, {
      get: (known, name) => name in known ? known[name]
        : name === "measureText" ? () => ({width: 50}) : () => {},
      set: () => true});
  }
  querySelector() { return new Element(); }
}
const elements = new Map();
const element = (id) => {
  if (!elements.has(id)) elements.set(id, new Element(id));
  return elements.get(id);
};
const buttons = data.points.map(({name}) => {
  assert(html.includes(`data-point="${name}"`), "no button for " + name);
  const button = element("point " + name);
  button.dataset.point = name;
  return button;
});
const spots = data.points.map((_, i) => element("spot " + i));
const context = vm.createContext({
  document: {
    getElementById: (id) => {
      assert(id === "mark-data" || html.includes(`id="${id}"`), "no #" + id);
      return element(id);
    },
    querySelector: (what) => buttons.find(
      (one) => what === `[data-point="${one.dataset.point}"]`),
    querySelectorAll: (what) => what === "[data-point]" ? buttons
      : what === "#plan .spot" ? spots : [],
    createElement: () => new Element()},
  window: {devicePixelRatio: 2, addEventListener() {}},
  location: {hash: ""}, history: {replaceState() {}}, navigator: {}});
for (const script of scripts) vm.runInContext(script, context);

// --- where the camera shows a point, by rays along the picture's axes --------
const camera = JSON.parse(fs.readFileSync(cameraFile, "utf8"));
const minus = (a, b) => a.map((x, i) => x - b[i]);
const dot = (a, b) => a.reduce((sum, x, i) => sum + x * b[i], 0);
const unit = (a) => a.map((x) => x / Math.sqrt(dot(a, a)));
const forward = unit(minus(camera.target, camera.eye));
const up = unit(minus(camera.up, forward.map((x) => x * dot(camera.up, forward))));
const right = [forward[1] * up[2] - forward[2] * up[1],
               forward[2] * up[0] - forward[0] * up[2],
               forward[0] * up[1] - forward[1] * up[0]];
const roll = (camera.roll_deg || 0) * Math.PI / 180;
const seen = (point) => {
  const ray = minus(point, camera.eye), depth = dot(ray, forward);
  const flat = [dot(ray, right) / depth, -dot(ray, up) / depth];
  const x = Math.cos(roll) * flat[0] + Math.sin(roll) * flat[1];
  const y = -Math.sin(roll) * flat[0] + Math.cos(roll) * flat[1];
  const scale = camera.focal * (1 + camera.k1 * (x * x + y * y));
  return [(data.width - 1) / 2 + scale * x, (data.height - 1) / 2 + scale * y];
};

for (const word of points) {
  const [name, du = 0, dv = 0] = word.split(",");
  const i = data.points.findIndex((point) => point.name === name);
  assert(i >= 0, name);
  buttons[i].listeners.click();
  const [u, v] = seen(data.points[i].at);
  const scale = kShown / width;
  element("stage").listeners.click({clientX: 7 + (u + +du + 0.5) * scale,
                                    clientY: 11 + (v + +dv + 0.5) * scale});
}
// Half a pixel to and fro, by keys.
for (const key of ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"]) {
  element("stage").listeners.keydown({key, preventDefault() {}});
}
fs.writeFileSync(marksFile, element("file").value);
console.log(element("verdict").textContent);
