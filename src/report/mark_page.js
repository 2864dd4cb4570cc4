// SPDX-License-Identifier: MIT
// Points of the surface clicked on the film's still, moved in the loupe and by
// keys, with the drawn solution that follows, and the file for `calibrate --points`. All places are
// px of the picture as shown, pixel centres at integers, until they are saved.
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("mark-data").textContent);
  const byId = (id) => document.getElementById(id);
  const spots = document.querySelectorAll("#plan .spot");
  const still = byId("still"), stage = byId("stage"), loupe = byId("loupe");
  const size = [data.width, data.height];
  const [width, height] = data.turn % 180 ? [size[1], size[0]] : size;
  const offLimit = data.off_px;
  const view = {
    width: data.width, lens: data.lens,
    centre: markSolver.shown(
      data.lens ? data.lens.centre : size.map((n) => (n - 1) / 2), size,
      data.turn)};
  const marks = new Map();  // name: [u, v]
  let current = data.points[0].name, zoom = 8, solved = {why: "few"};
  let looked = null;  // where the pointer is, while nothing is marked there

  const words = (name) => name.replaceAll("_", " ");
  const pointOf = (name) => data.points.find((point) => point.name === name);
  const kept = (p) => [Math.min(Math.max(p[0], -0.5), width - 0.5),
                       Math.min(Math.max(p[1], -0.5), height - 0.5)];
  const markList = () => data.points.filter((point) => marks.has(point.name))
    .map((point) => ({name: point.name, table: point.at,
                      picture: marks.get(point.name)}));
  const drawnAt = (name) => solved.camera
    ? markSolver.project(solved.camera, pointOf(name).at) : null;
  // What the loupe shows: the mark, else where the pointer is, else where the
  // drawing has the point.
  const inLoupe = () => kept(marks.get(current) || looked || drawnAt(current) ||
                             [(width - 1) / 2, (height - 1) / 2]);

  const state = () => ({marks, current, zoom, solved, middle: inLoupe(),
                        edges: data.edges, offLimit, words, width, height});
  const drawLoupe = () => markDrawing.loupe(loupe, still, state());

  // --- words ---------------------------------------------------------------
  const verdict = () => {
    const onSurface = markList().filter((mark) => mark.table[2] === 0).length;
    if (solved.why === "few") {
      return `${onSurface} of at least 4 points on the surface are marked.`;
    }
    if (solved.why === "line") {
      return "All points but one lie on one line: mark another point of the " +
             "surface.";
    }
    if (solved.why) {
      return "No camera above the surface sees the points so: two of them may " +
             "be exchanged, left and right or near and far.";
    }
    const list = markList();
    const off = list.filter((mark) => solved.off[mark.name] > offLimit)
      .sort((a, b) => solved.off[b.name] - solved.off[a.name]);
    let text = `${list.length} points, ${solved.rms.toFixed(1)} px (rms) from ` +
      `the drawn surface, camera ${solved.eye[2].toFixed(2)} m above it. `;
    if (off.length) {
      const worst = off[0];
      text += `Farthest off: ${words(worst.name)}, by ` +
        `${solved.off[worst.name].toFixed(0)} px. Look at it again` +
        (worst.table[2] > 0 ? "; a net that sags does no harm." : ".");
    } else if (list.length === 4) {
      text += "Four points nearly always fit: do the drawn lines lie on the " +
              "painted ones?";
    }
    return text;
  };

  const hashOf = () => markList().map(({name, picture}) =>
    name + "=" + markSolver.stored(picture, size, data.turn)
      .map((x) => x.toFixed(2)).join(",")).join("&");

  const showWords = () => {
    byId("current").textContent = words(current);
    const at = marks.get(current);
    byId("at").textContent = at
      ? markSolver.stored(at, size, data.turn).map((x) => x.toFixed(1)).join(", ") +
        " px" : "not marked yet";
    byId("verdict").textContent = verdict();
    byId("file").value = markSolver.marksFile(markList(), size, data.turn);
    for (const id of ["save", "copy-file"]) byId(id).disabled = !marks.size;
    data.points.forEach(({name}, i) => {
      const bad = Boolean(solved.off && solved.off[name] > offLimit);
      const button = document.querySelector(`[data-point="${name}"]`);
      button.setAttribute("aria-pressed", name === current);
      button.querySelector(".state").textContent =
        !marks.has(name) ? "not marked"
        : bad ? "off by " + solved.off[name].toFixed(0) + " px" : "marked";
      for (const one of [button, spots[i]]) {
        one.classList.toggle("current", name === current);
        one.classList.toggle("marked", marks.has(name));
        one.classList.toggle("wrong", bad);
      }
    });
  };

  const show = () => {
    markDrawing.stage(byId("drawn"), state());
    drawLoupe();
    showWords();
  };

  // --- what the tester does ------------------------------------------------
  const changed = () => {
    solved = markSolver.solve(markList(), view);
    show();
    // A page that is loaded again has its marks back.
    try {
      history.replaceState(null, "", "#" + hashOf());
    } catch (error) {
      // Marks are then kept until the page is closed.
    }
  };
  const mark = (p) => {
    marks.set(current, kept(p));
    looked = null;
    changed();
  };
  const choose = (name) => {
    current = name;
    looked = null;
    show();
  };
  const nextPoint = () => {
    const names = data.points.filter((point) => point.main).map((p) => p.name);
    const from = names.indexOf(current);
    const after = [...names.slice(from + 1), ...names.slice(0, from + 1)];
    choose(after.find((name) => !marks.has(name)) || after[0]);
  };
  const remove = () => {
    marks.delete(current);
    changed();
  };
  const move = (du, dv) => {
    const at = inLoupe();
    mark([at[0] + du, at[1] + dv]);
  };
  const setZoom = (value) => {
    zoom = Math.min(Math.max(value, 2), 32);
    drawLoupe();
  };

  const onStage = (event) => {
    const box = stage.getBoundingClientRect();
    return [(event.clientX - box.left) / box.width * width - 0.5,
            (event.clientY - box.top) / box.height * height - 0.5];
  };
  stage.addEventListener("click", (event) => mark(onStage(event)));
  stage.addEventListener("pointermove", (event) => {
    if (event.pointerType !== "mouse" || marks.has(current)) return;
    looked = onStage(event);
    drawLoupe();
  });
  // In the loupe the picture is drawn along under the cross; a click brings
  // what was clicked under it.
  let dragged = null;
  loupe.addEventListener("pointerdown", (event) => {
    loupe.setPointerCapture(event.pointerId);
    dragged = {from: [event.clientX, event.clientY], at: inLoupe(), far: false};
  });
  loupe.addEventListener("pointermove", (event) => {
    if (!dragged) return;
    const du = event.clientX - dragged.from[0], dv = event.clientY - dragged.from[1];
    dragged.far = dragged.far || Math.hypot(du, dv) > 4;
    if (dragged.far) mark([dragged.at[0] - du / zoom, dragged.at[1] - dv / zoom]);
  });
  loupe.addEventListener("pointerup", (event) => {
    if (dragged && !dragged.far) {
      const box = loupe.getBoundingClientRect();
      mark([dragged.at[0] + (event.clientX - box.left - box.width / 2) / zoom,
            dragged.at[1] + (event.clientY - box.top - box.height / 2) / zoom]);
    }
    dragged = null;
  });
  loupe.addEventListener("pointercancel", () => { dragged = null; });

  const arrows = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1],
                  ArrowDown: [0, 1]};
  const far = Math.max(10, Math.round(width / 60));
  const onKey = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const arrow = arrows[event.key];
    if (arrow) {
      const step = event.shiftKey ? far : 0.5;
      move(arrow[0] * step, arrow[1] * step);
    } else if (event.key === "Enter") {
      if (marks.has(current)) nextPoint(); else mark(inLoupe());
    } else if (event.key === "Delete" || event.key === "Backspace") {
      remove();
    } else if (event.key === "+" || event.key === "-") {
      setZoom(event.key === "+" ? zoom * 2 : zoom / 2);
    } else {
      return;
    }
    event.preventDefault();
  };
  stage.addEventListener("keydown", onKey);
  loupe.addEventListener("keydown", onKey);
  for (const button of document.querySelectorAll("[data-move]")) {
    const arrow = arrows[button.dataset.move];
    button.addEventListener("click", () => move(arrow[0] * 0.5, arrow[1] * 0.5));
  }
  for (const button of document.querySelectorAll("[data-point]")) {
    button.addEventListener("click", () => choose(button.dataset.point));
  }
  spots.forEach((spot, i) =>
    spot.addEventListener("click", () => choose(data.points[i].name)));
  byId("nearer").addEventListener("click", () => setZoom(zoom * 2));
  byId("wider").addEventListener("click", () => setZoom(zoom / 2));
  byId("next").addEventListener("click", nextPoint);
  byId("remove").addEventListener("click", remove);

  byId("save").addEventListener("click", () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(
      new Blob([byId("file").value], {type: "text/csv"}));
    link.download = data.file;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    byId("done").textContent = "Saved as " + data.file + " where the browser " +
      "puts what it downloads. Move it to where the command runs.";
  });
  const copy = (text, said) => {
    const done = () => { byId("done").textContent = said; };
    const byHand = () => {
      byId("done").textContent = "The browser does not allow it: select the " +
        "text and copy it.";
    };
    if (!navigator.clipboard) byHand();
    else navigator.clipboard.writeText(text).then(done, byHand);
  };
  byId("copy-file").addEventListener("click", () => copy(
    byId("file").value, "Copied. Put it into a file called " + data.file + "."));
  byId("copy-command").addEventListener("click", () => copy(
    byId("command").textContent, "Copied."));

  // --- begin ---------------------------------------------------------------
  const before = location.hash.slice(1);
  for (const given of before ? [] : data.marks) {
    marks.set(given.name, markSolver.shown(given.picture, size, data.turn));
  }
  for (const part of before.split("&")) {
    const [, name, u, v] = /^(\w+)=(-?[\d.]+),(-?[\d.]+)$/.exec(part) || [];
    if (name && pointOf(name) && isFinite(u) && isFinite(v)) {
      marks.set(name, kept(markSolver.shown([+u, +v], size, data.turn)));
    }
  }
  const open = data.points.find((point) => point.main && !marks.has(point.name));
  if (open) current = open.name;
  window.addEventListener("resize", show);
  if (still.complete) changed(); else still.addEventListener("load", changed);
})();
