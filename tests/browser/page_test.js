// SPDX-License-Identifier: MIT
// The bench page in a real browser, looked at as the tester does:
//   node page_test.js BENCH CHROMEDRIVER CHROMIUM WORK
// BENCH is page_bench. Pictures of the page go to WORK.
"use strict";
const assert = require("assert"), fs = require("fs"), path = require("path");
const { spawn } = require("child_process");
const { Browser, until, wait } = require("./webdriver.js");
const [program, driver, chromium, work] = process.argv.slice(2);
const PORT = 21000 + process.pid % 20000, DRIVER_PORT = PORT + 1;
const SHOTS = path.join(work, "pictures");
const URL = `http://127.0.0.1:${PORT}/`;
const EVIL = "<img src=x onerror=bad=1><script>bad=1</script>";

class Bench {
  constructor(feeds, speed) {
    const folder = fs.mkdtempSync(path.join(work, "bench-"));
    this.process = spawn(program, [String(PORT), folder, String(feeds), String(speed)], { stdio: ["pipe", "pipe", "inherit"] });
    this.up = new Promise((done) => this.process.stdout.once("data", done));
  }
  say(word) { this.process.stdin.write(word + "\n"); }
  kill() { this.process.kill("SIGKILL"); }
}
const stateOf = async () => (await fetch(URL + "state")).json();
const word = (browser) => browser.run("return document.getElementById('word').textContent");
const sub = (browser) => browser.run("return document.getElementById('sub').textContent");
async function shown(browser, wanted, patience_ms = 10000) {
  const from = Date.now();
  await until(async () => (await word(browser)) === wanted, `the page says ${wanted}`, patience_ms);
  return Date.now() - from;
}
async function picture(browser, name) {
  fs.writeFileSync(path.join(SHOTS, name + ".png"), await browser.picture(true));
}

// Every text that is shown against what lies behind it (WCAG 2.1), as colours
// are computed; the worst, and whose it is.
const CONTRASTS = `
  const rgb = (c) => (c.match(/[\\d.]+/g) || []).map(Number);
  const light = ([r, g, b]) => { const f = (v) => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
    return 0.2126 * f(r) + 0.7152 * f(g) + 0.0722 * f(b); };
  const behind = (e) => { for (; e; e = e.parentElement) { const s = getComputedStyle(e);
      const drawn = [...s.backgroundImage.matchAll(/rgba?\\([^)]*\\)/g)].map((m) => rgb(m[0]));
      if (drawn.length) return drawn;
      const c = rgb(s.backgroundColor); if (c.length === 3 || c[3] === 1) return [c]; } return [[255, 255, 255]]; };
  let worst = { ratio: 99 }, seen = 0;
  for (const e of document.querySelectorAll("body *")) {
    if (![...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()) || !e.getClientRects().length) continue;
    if (e.closest("svg") || e.disabled) continue;
    const ink = light(rgb(getComputedStyle(e).color));
    for (const c of behind(e)) { const l = light(c), ratio = (Math.max(l, ink) + 0.05) / (Math.min(l, ink) + 0.05);
      ++seen; if (ratio < worst.ratio) worst = { ratio, text: e.textContent.slice(0, 40), tag: e.tagName + "#" + e.id }; }
  }
  return { ...worst, seen };`;
const SIZES = `const r = (id) => document.getElementById(id).getBoundingClientRect();
  const text = (id) => { const all = document.createRange(); all.selectNodeContents(document.getElementById(id));
    return all.getBoundingClientRect(); };
  return { wide: document.documentElement.scrollWidth, inner: innerWidth, high: innerHeight, sign: r("sign").height,
    word: r("word").height, banner: r("banner").height, right: text("word").right, top: r("banner").top };`;

async function looks(browser, name) {
  for (const scheme of ["light", "dark"]) {
    await browser.tell("Emulation.setEmulatedMedia", { features: [{ name: "prefers-color-scheme", value: scheme }] });
    for (const [width, height] of [[1280, 720], [390, 844]]) {
      await browser.screen(width, height);
      await wait(100);
      const size = await browser.run(SIZES);
      const where = `${name} ${scheme} ${width}: ${JSON.stringify(size)}`;
      assert(size.wide <= size.inner, "it is wider than the screen, " + where);
      assert(size.right <= size.inner, "the word is cut off, " + where);
      assert(size.banner >= 0.2 * size.high && size.top < 1, "the state is too small, " + where);
      if (width > 600) assert(size.sign >= 0.2 * size.high, "the sign is too small, " + where);
      const contrast = await browser.run(CONTRASTS);
      assert(contrast.seen > 20, "nothing was looked at");
      assert(contrast.ratio >= 4.5, `contrast, ${name} ${scheme} ${width}: ${JSON.stringify(contrast)}`);
      await picture(browser, `${name}-${scheme}-${width}`);
    }
  }
  await browser.screen(1280, 720);
}

// All that can be pressed or written into comes up when Tab is pressed.
async function reachable(browser) {
  const all = await browser.run(`document.body.focus();
    return [...document.querySelectorAll("button, input, .scroll")].filter((e) => e.getClientRects().length && !e.disabled)
      .map((e, i) => { e.dataset.at = i; return e.textContent || e.id; });`);
  assert(all.length >= 12, `only ${all.length} things to press`);
  const met = new Set();
  for (let i = 0; i < all.length + 6; ++i) {
    await browser.press("Tab");
    const at = await browser.run("const e = document.activeElement; return [e.dataset.at, getComputedStyle(e).outlineStyle]");
    if (at[0] === undefined || at[0] === null) continue;
    assert.notStrictEqual(at[1], "none", "what is in focus does not show it: " + all[at[0]]);
    met.add(at[0]);
  }
  const missed = all.filter((_, i) => !met.has(String(i)));
  assert.strictEqual(missed.length, 0, "Tab does not come to: " + missed.join(", "));
}

async function theLog(browser) {
  await browser.run("document.activeElement.blur()");
  await browser.type("s");
  await until(() => browser.run("return document.activeElement.id === 'sample'"), "s leads to the sample");
  await browser.type(EVIL);
  await browser.press("Enter");
  await until(async () => (await browser.run("return document.getElementById('now').textContent")) === EVIL,
    "the sample is shown as it was typed");
  assert.strictEqual((await stateOf()).sample, EVIL);
  assert.strictEqual(await browser.run("return typeof bad === 'undefined' && !document.querySelector('img, main script')"), true,
    "a name was run");
  await browser.run("document.activeElement.blur()");
  await browser.type("x");
  await until(async () => (await stateOf()).feeds.at(-1).excluded, "x: the last feed does not count");
  await until(() => browser.run("return !!document.querySelector('tr.out')"), "the feed that does not count is struck out");
  await browser.type("u");
  await until(async () => !(await stateOf()).feeds.at(-1).excluded, "u: it counts again");
}

async function test(browser) {
  let bench = new Bench(40, 8);
  await bench.up;
  await browser.go(URL);
  await shown(browser, "SETTLING");
  await until(async () => /about \d+ more feeds/.test(await sub(browser)), "how many feeds it takes is shown");
  await looks(browser, "settling");
  await until(async () => (await stateOf()).word === "READY", "the engine is ready", 180000);
  const late_ms = await shown(browser, "READY", 1000);
  await until(async () => (await stateOf()).feeds.length >= 38, "all feeds are there", 120000);
  await shown(browser, "READY");
  await until(() => browser.run("return document.querySelectorAll('#list tr').length >= 38"), "the page lists all feeds");
  assert(await browser.run("return document.querySelectorAll('#map circle, #map rect, #map path').length >= 38"));
  assert(await browser.run("return document.querySelectorAll('#charts figure').length >= 1"));
  assert(await browser.run("return document.querySelectorAll('#charts figure:first-child .tick').length >= 4"));
  await looks(browser, "ready");
  await reachable(browser);
  await theLog(browser);

  // What the word rests on: not on an answer that does not come.
  await browser.tell("Network.enable", {});
  await browser.tell("Network.setBlockedURLs", { urls: ["*/state"] });
  bench.say("behind");
  await shown(browser, "BEHIND", 3000);
  await looks(browser, "behind");
  bench.say("kept");
  await shown(browser, "READY", 3000);
  bench.say("lose");
  await shown(browser, "NO CAMERA", 3000);
  await wait(6500);
  assert.strictEqual(await word(browser), "NO CAMERA", "that no picture comes is news for as long as none does");
  await looks(browser, "no-camera");
  bench.say("back");
  await shown(browser, "READY", 3000);
  await browser.tell("Network.setBlockedURLs", { urls: [] });

  // The server lives and answers, and the bench does not.
  bench.say("stall");
  const stale_ms = await shown(browser, "NO NEWS", 6500);
  assert(stale_ms > 3000 && stale_ms < 5100, `no news after ${stale_ms} ms`);
  assert.match(await sub(browser), /^no news since /);
  assert.strictEqual((await stateOf()).word, "READY");
  await browser.run("document.activeElement.blur()");
  await browser.type("u");  // an entry of the log is no news of the bench
  await wait(700);
  assert.strictEqual(await word(browser), "NO NEWS");
  bench.say("go");
  await shown(browser, "READY", 3000);

  const killed = Date.now();
  bench.kill();
  await shown(browser, "NO NEWS", 6000);
  const dead_ms = Date.now() - killed;
  assert(dead_ms < 5100, `no news ${dead_ms} ms after the server was killed`);
  await looks(browser, "no-news");
  bench = new Bench(3, 8);
  await bench.up;
  await shown(browser, "SETTLING", 15000);
  bench.say("end");
  await shown(browser, "ENDED", 5000);
  await wait(500);
  assert.strictEqual(await word(browser), "ENDED");
  console.log(`READY ${late_ms} ms after the engine, NO NEWS ${stale_ms} ms after the last frame and ${dead_ms} ms after ` +
    `the server was killed; pictures in ${SHOTS}`);
}

(async () => {
  fs.rmSync(work, { recursive: true, force: true });
  fs.mkdirSync(SHOTS, { recursive: true });
  const browser = await Browser.open(driver, chromium, DRIVER_PORT);
  let failed = null;
  try { await test(browser); } catch (error) {
    failed = error;
    await picture(browser, "failed").catch(() => {});
  }
  await browser.close();
  if (failed) { console.error(failed.message); process.exit(1); }
  process.exit(0);
})();
