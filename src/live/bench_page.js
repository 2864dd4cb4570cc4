// SPDX-License-Identifier: MIT
// The bench page: what the server says is shown, never run. Text from data goes
// into the page as text only.
"use strict";
(() => {
  const $ = (id) => document.getElementById(id);
  const SVG = "http://www.w3.org/2000/svg";
  const key = new URLSearchParams(location.search).get("key") || "";
  const STALE_MS = 4500;  // with the steps it is looked at in: five seconds at most
  const SIGNS = {  // a shape for each state, so that colour is not needed
    "WAITING": "M50 12a38 38 0 1 0 .1 0",
    "SETTLING": "M22 12h56M22 88h56M28 12c0 24 44 28 44 76M72 12c0 24-44 28-44 76",
    "READY": "M50 8a42 42 0 1 0 .1 0M30 52l15 15 28-33",
    "CHANGED": "M50 8 94 90H6zM50 36v26M50 76v1",
    "NO CAMERA": "M14 14h72v72H14zM30 30l40 40M70 30 30 70",
    "BEHIND": "M50 12a38 38 0 1 0 .1 0M50 28v24l16 12",
    "WRITING": "M18 82l6-24 44-44 18 18-44 44zM58 24l18 18",
    "ENDED": "M22 22h56v56H22z",
    "NO NEWS": "M32 34c0-26 38-26 38 0 0 18-20 16-20 34M50 84v1",
  };
  // wordT: of the word, by the bench's clock. An answer that was on its way meanwhile is older.
  let state = null, word = "NO NEWS", wordT = -1, heardAt = 0, beatT = -1, told = "", asked = false, again = false;

  const el = (name, attributes, text) => {
    const made = document.createElementNS(SVG, name);
    for (const [k, v] of Object.entries(attributes)) made.setAttribute(k, v);
    if (text !== undefined) made.textContent = text;
    return made;
  };
  const html = (name, text, className) => {
    const made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    if (className) made.className = className;
    return made;
  };
  const num = (v, d) => (typeof v === "number" ? v.toFixed(d) : "–");
  const clock = (ms) => new Date(ms).toLocaleTimeString();

  // ---- the state, as large as it goes
  function showWord() {
    const stale = !heardAt || Date.now() - heardAt > STALE_MS;
    const now = stale && word !== "ENDED" ? "NO NEWS" : word;
    let sub = "";
    if (now === "NO NEWS") sub = heardAt ? "no news since " + clock(heardAt) : "waiting for the bench";
    else if (now === "READY") sub = "keep going";
    else if (now === "WAITING") sub = "no feed yet";
    else if (now === "SETTLING" && state) {
      sub = state.more_feeds > 0 ? "about " + state.more_feeds + " more feeds" : "let it run on";
    } else if (now === "CHANGED") sub = "the launcher is not what it was";
    else if (now === "NO CAMERA") sub = "no picture comes: look at camera and cable";
    else if (now === "BEHIND") sub = "this machine does not keep up";
    else if (now === "WRITING") sub = "all is measured once more: leave it running";
    else if (now === "ENDED") sub = "everything is written";
    if ($("word").textContent !== now || !$("sign").firstChild) {
      $("word").textContent = now;
      document.body.className = now.toLowerCase().replace(" ", "");
      $("sign").replaceChildren(el("path", { d: SIGNS[now] || SIGNS["NO NEWS"] }));
      document.title = now + " - evenfeed";
      if (told && now !== "NO NEWS") signal(now);
      told = now;
    }
    if ($("sub").textContent !== sub) $("sub").textContent = sub;
    $("why").textContent = !["READY", "SETTLING", "CHANGED"].includes(now) || !state ? "" : state.holding_back.slice(0, 2).join("; ");
  }

  // ---- sound and voice, only when asked for
  let audio = null;
  const pressed = (id) => $(id).getAttribute("aria-pressed") === "true";
  const press = (id, on) => $(id).setAttribute("aria-pressed", on ? "true" : "false");
  function beep(tones) {
    if (!pressed("sound") || !audio) return;
    tones.forEach((hz, i) => {
      const tone = audio.createOscillator(), gain = audio.createGain();
      tone.frequency.value = hz;
      gain.gain.value = 0.15;
      tone.connect(gain).connect(audio.destination);
      tone.start(audio.currentTime + 0.18 * i);
      tone.stop(audio.currentTime + 0.18 * i + 0.15);
    });
  }
  function speak(words) {
    if (!pressed("voice") || !window.speechSynthesis) return;
    speechSynthesis.cancel();
    speechSynthesis.speak(new SpeechSynthesisUtterance(words));
  }
  function signal(now) {
    if (now === "READY") { beep([660, 880, 1100]); speak("Ready"); }
    else if (now === "CHANGED") { beep([500, 350]); speak("Changed. Not ready"); }
    else if (now === "BEHIND") { beep([300, 300]); speak("Behind"); }
    else if (now === "NO CAMERA") { beep([300, 300, 300]); speak("No camera"); }
  }
  $("sound").onclick = () => {
    audio = audio || new AudioContext();
    press("sound", !pressed("sound"));
    beep([880]);
  };
  $("voice").onclick = () => { press("voice", !pressed("voice")); speak("Voice on"); };
  let lock = null;
  async function wake() {
    try { lock = await navigator.wakeLock.request("screen"); press("awake", true); }
    catch { press("awake", false); say("this browser cannot keep the screen on here"); }
  }
  $("awake").onclick = () => {
    if (!pressed("awake")) { wake(); return; }
    if (lock) lock.release();
    press("awake", false);
  };
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && pressed("awake")) wake();
  });
  $("full").onclick = () => {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen().catch(() => say("this browser has no full screen"));
  };
  document.addEventListener("fullscreenchange", () => press("full", !!document.fullscreenElement));

  // ---- landings
  function drawMap() {
    const map = $("map"), t = state.table, l = t.length_mm / 2, w = t.width_mm / 2, m = 120;
    // x to the right (away from the launcher), y up: left of the launcher on top
    map.setAttribute("viewBox", `${-m} ${-w - m} ${l + 2 * m} ${2 * w + 2 * m}`);
    const all = [el("rect", { x: 0, y: -w, width: l, height: 2 * w, class: "surface" }),
      el("rect", { x: 0, y: -2, width: l, height: 4, class: "line" })];
    if (t.net) all.push(el("line", { x1: t.net_x_mm, x2: t.net_x_mm, y1: -w - 80, y2: w + 80, class: "netline" }));
    const [x0, y0, x1, y1] = t.zone_mm;
    if (x1 > x0) all.push(el("rect", { x: x0, y: -y1, width: x1 - x0, height: y1 - y0, class: "zone" }));
    const feeds = state.feeds.filter((f) => typeof f.x_mm === "number" && typeof f.y_mm === "number");
    for (const f of feeds.slice(-400)) {
      const c = (f.verdict || "unjudged") + (f.excluded ? " excluded" : ""), x = f.x_mm, y = -f.y_mm;
      const mark = f.verdict === "discard" ? el("path", { d: `M${x} ${y - 17}L${x + 16} ${y + 12}H${x - 16}z`, class: c })
        : f.verdict === "review" ? el("rect", { x: x - 12, y: y - 12, width: 24, height: 24, class: c })
        : el("circle", { cx: x, cy: y, r: 13, class: c });
      mark.append(el("title", {}, `feed ${f.feed}: ${f.verdict || ""}`));
      all.push(mark);
    }
    const last = feeds[feeds.length - 1];
    if (last) {
      // The ellipse of two sigmas, from sx, sy and their correlation.
      const a = last.sx_mm ** 2, b = last.sy_mm ** 2, c = (last.rho_xy || 0) * last.sx_mm * last.sy_mm;
      const mid = (a + b) / 2, half = Math.hypot((a - b) / 2, c), turn = 0.5 * Math.atan2(2 * c, a - b);
      all.push(el("ellipse", { cx: last.x_mm, cy: -last.y_mm, rx: Math.max(24, 2 * Math.sqrt(mid + half)) || 24,
        ry: Math.max(24, 2 * Math.sqrt(Math.max(0, mid - half))) || 24,
        transform: `rotate(${-turn * 180 / Math.PI} ${last.x_mm} ${-last.y_mm})`, class: "lastdot" }));
    }
    map.replaceChildren(...all);
  }

  // ---- charts
  const TITLES = { t2: "All together, single feeds (T²)", mewma: "All together, lasting changes (MEWMA)",
    ewma: "Lasting changes: ", individuals: "Single feeds: " };
  // Three or so round numbers, 1, 2 or 5 times a power of ten apart.
  function ticks(low, high) {
    const raw = (high - low) / 3, power = 10 ** Math.floor(Math.log10(raw));
    const step = power * ([1, 2, 5].find((k) => k * power >= raw) || 10), found = [];
    for (let k = Math.ceil(low / step); k * step <= high; ++k) found.push(Number((k * step).toPrecision(6)));
    return found;
  }
  function chart(one) {
    const W = 360, H = 150, L = 52, B = 22, n = one.values.length;
    const at = (i) => L + (W - L - 8) * (n < 2 ? 0.5 : i / (n - 1));
    const known = [...one.values, ...one.lower, ...one.upper].filter((v) => typeof v === "number");
    const low = Math.min(...known), span = Math.max(...known) - low || 1;
    const y = (v) => H - B - 6 - (H - B - 26) * (v - low) / span;
    const path = (values) => {
      let d = "", pen = false;
      values.forEach((v, i) => {
        if (typeof v !== "number") { pen = false; return; }
        d += (pen ? "L" : "M") + at(i).toFixed(1) + " " + y(v).toFixed(1);
        pen = true;
      });
      return d;
    };
    const svg = el("svg", { viewBox: `0 0 ${W} ${H}`, role: "img", "aria-label": TITLES[one.chart] + one.about });
    const label = (x, at_y, words, anchor) =>
      svg.append(el("text", { x, y: at_y, "text-anchor": anchor, class: "tick" }, words));
    label(L - 6, 11, one.unit || "no unit", "end");
    for (const v of ticks(low, low + span)) {
      svg.append(el("line", { x1: L, x2: W - 8, y1: y(v), y2: y(v), class: "rule" }));
      label(L - 6, y(v) + 4, String(v), "end");
    }
    const every = Math.max(1, Math.ceil(n / 6));
    for (let i = 0; i < n; i += every) label(at(i), H - 7, String(one.feeds[i]), "middle");
    svg.append(el("line", { x1: L, x2: W - 8, y1: H - B, y2: H - B, class: "axis" }),
      el("path", { d: path(one.upper), class: "limit" }), el("path", { d: path(one.lower), class: "limit" }),
      el("path", { d: path(one.values), class: "course" }));
    one.values.forEach((v, i) => {
      if (v > one.upper[i] || (typeof one.lower[i] === "number" && v < one.lower[i])) {
        svg.append(el("circle", { cx: at(i), cy: y(v), r: 4, class: "beyond" }));
      }
    });
    const figure = html("figure");
    figure.append(svg, html("figcaption", TITLES[one.chart] + one.about +
      (n ? `, feeds ${one.feeds[0]} to ${one.feeds[n - 1]}` : "")));
    return figure;
  }
  function drawCharts() {
    const charts = state.charts.filter((c) => c.values.length > 0);
    $("charts").replaceChildren(...(charts.length ? charts.map(chart)
      : [html("p", "They begin when the launcher is ready: until then there is nothing to compare with.")]));
  }

  // ---- the last feed, the list
  const VERDICTS = { keep: "like the others", review: "not known yet", discard: "NOT like the others" };
  function showLast() {
    const f = state.feeds[state.feeds.length - 1];
    if (!f) { $("last-verdict").textContent = "none yet"; return; }
    const v = $("last-verdict");
    v.textContent = `${f.feed}: ${f.status === "unmeasured" ? "not measured" : VERDICTS[f.verdict] || ""}`;
    v.className = "verdict " + (f.verdict || "") + "-ink";
    const decimals = state.decimals;
    const rows = [["along", f.x_mm, f.sx_mm, "x_mm", "mm"], ["across", f.y_mm, f.sy_mm, "y_mm", "mm"],
      ["speed", f.speed_in_mps, f.s_speed_in_mps, "speed_in_mps", "m/s"],
      ["descent", f.descent_deg, f.s_descent_deg, "descent_deg", "°"]];
    $("last-values").replaceChildren(...rows.flatMap(([name, x, s, column, unit]) =>
      [html("dt", name), html("dd", `${num(x, decimals[column])} ± ${num(s, decimals[column])} ${unit}`)]));
    $("last-reasons").textContent = [...(f.reasons || []), f.note].filter(Boolean).join("; ");
  }
  function showList() {
    const c = state.counts;
    $("counts").textContent = `(${state.feed_count}: ${c.keep} kept, ${c.review} review, ${c.discard} discarded)`;
    $("list").replaceChildren(...state.feeds.slice(-200).reverse().map((f) => {
      const row = html("tr", undefined, f.excluded ? "out" : "");
      const what = [...(f.reasons || []), f.note, f.said, f.excluded ? "does not count" : ""].filter(Boolean).join("; ");
      const cells = [f.feed, f.verdict || "", ...["x_mm", "y_mm", "speed_in_mps", "descent_deg"].map((column) => num(f[column], state.decimals[column])), [f.sample, f.ball].filter(Boolean).join(" / "), what].map((t) => html("td", String(t)));
      cells[1].className = (f.verdict || "") + "-ink";
      row.append(...cells);
      return row;
    }));
  }
  let due = false;
  function showOrder() {
    const order = state.order;
    $("order").hidden = $("step").hidden = !order;
    if (!order) return;
    if ($("order").textContent !== order.words) $("order").textContent = order.words;
    $("order").className = order.due ? "due" : "";
    if (order.due && !due) { beep([440, 660]); speak(order.words); }
    due = order.due;
    $("step").disabled = order.step > order.steps;
  }
  function showAll() {
    if (state.t_s >= wordT) word = state.word;
    $("now").textContent = state.sample || "nobody said";
    showWord(); showOrder(); showLast(); drawMap(); drawCharts(); showList();
  }

  // ---- talking with the bench
  async function ask() {
    if (asked) { again = true; return; }
    asked = true;
    try {
      const answer = await fetch("state",
        { headers: { "X-Bench-Key": key }, signal: AbortSignal.timeout(STALE_MS) });
      if (answer.ok) { state = await answer.json(); showAll(); }
    } catch { again = true; /* the word comes without it */ }
    setTimeout(() => { asked = false; if (again) { again = false; ask(); } }, 300);
  }
  // The word comes with the news themselves: an answer that fails or is slow leaves no old one standing. What is
  // not the bench's own doing (an entry of the log) is no news of it.
  function hear(news) {
    heardAt = Date.now();
    if (news && news.word) { word = news.word; wordT = news.t_s; }
    showWord();
  }
  let source = null;
  function listen() {
    source = new EventSource("news?key=" + encodeURIComponent(key));
    source.onopen = () => { wordT = beatT = -1; ask(); };
    source.addEventListener("beat", (e) => {
      const beat = JSON.parse(e.data);
      if (beat.t_s === beatT) return;
      beatT = beat.t_s;
      const other = beat.word !== word;
      hear(beat);
      if (other) ask();
    });
    source.addEventListener("quiet", (e) => hear(JSON.parse(e.data)));
    source.addEventListener("state", (e) => { hear(JSON.parse(e.data)); ask(); });
    for (const kind of ["withdrawn", "renewed", "log", "camera-moved", "camera-back", "missed"]) {
      source.addEventListener(kind, ask);
    }
    source.addEventListener("feed", (e) => {
      const news = JSON.parse(e.data);
      if (news.verdict === "discard") { beep([220, 220]); speak("Feed " + news.feed.feed + " was not like the others"); }
      ask();
    });
    source.addEventListener("camera-lost", (e) => { hear({ word: "NO CAMERA", t_s: JSON.parse(e.data).t_s }); ask(); });
    source.addEventListener("ended", () => { hear({ word: "ENDED", t_s: Infinity }); source.close(); });
    source.onerror = () => {  // a browser gives up after a refusal: try again
      if (source.readyState === EventSource.CLOSED && word !== "ENDED") setTimeout(listen, 1500);
    };
  }
  const say = (words) => { $("said").textContent = words; };
  async function log(what, text) {
    try {
      const answer = await fetch("log", { method: "POST", body: JSON.stringify({ word: what, text }),
        headers: { "Content-Type": "application/json", "X-Bench-Key": key } });
      say(answer.ok ? "noted" : answer.status === 401 ? "this address may only look" : await answer.text());
      if (answer.ok) ask();
      return answer.ok;
    } catch { say("the bench does not answer: nothing was noted"); return false; }
  }
  for (const what of ["sample", "ball", "note"]) {
    $(what + "-form").addEventListener("submit", async (e) => {
      e.preventDefault();
      const field = $(what);
      if (field.value.trim() && await log(what, field.value.trim())) field.value = "";
    });
  }
  $("exclude").onclick = () => log("exclude", "");
  $("undo").onclick = () => log("undo", "");
  $("step").onclick = () => log("step", "");
  // The terminal's keys, where nothing else takes them.
  document.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.altKey || e.metaKey || e.repeat || e.target.closest("input, button, .scroll")) return;
    const fields = { s: "sample", b: "ball", n: "note" }, words = { x: "exclude", u: "undo" };
    if (fields[e.key]) { e.preventDefault(); $(fields[e.key]).focus(); }
    else if (words[e.key]) log(words[e.key], "");
    else if (e.key === "Enter" && state && state.order) log("step", "");
  });
  setInterval(showWord, 200);
  showWord();
  listen();
})();
