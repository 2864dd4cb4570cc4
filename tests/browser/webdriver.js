// SPDX-License-Identifier: MIT
// As much of WebDriver (W3C) as the page's test needs, spoken to chromedriver.
"use strict";
const { spawn } = require("child_process");

const KEYS = { Tab: "\uE004", Enter: "\uE007" };
const wait = (ms) => new Promise((done) => setTimeout(done, ms));

// Until `what` gives something true; throws with `words` after `patience_ms`.
async function until(what, words, patience_ms = 10000) {
  const end = Date.now() + patience_ms;
  for (;;) {
    const got = await what();
    if (got) return got;
    if (Date.now() > end) throw new Error(`${words}: not within ${patience_ms} ms`);
    await wait(40);
  }
}

class Browser {
  static async open(driver, chromium, port) {
    const browser = new Browser();
    browser.driver = spawn(driver, [`--port=${port}`, "--silent"], { stdio: "ignore" });
    browser.root = `http://127.0.0.1:${port}`;
    await until(() => fetch(browser.root + "/status").then((answer) => answer.ok, () => false), "chromedriver answers");
    const made = await browser.ask("POST", "/session", { capabilities: { alwaysMatch: {
      browserName: "chrome",
      "goog:chromeOptions": { binary: chromium, args: ["--headless=new", "--no-sandbox", "--disable-gpu",
        "--disable-dev-shm-usage", "--force-device-scale-factor=1", "--hide-scrollbars"] },
    } } });
    browser.session = "/session/" + made.sessionId;
    return browser;
  }
  async ask(method, path, body) {
    const answer = await fetch(this.root + path, { method, ...(body ? { body: JSON.stringify(body) } : {}) });
    const { value } = await answer.json();
    if (value && value.error) throw new Error(`${path}: ${value.error}: ${value.message.split("\n")[0]}`);
    return value;
  }
  async close() {
    await this.ask("DELETE", this.session).catch(() => {});
    this.driver.kill();
  }
  go(url) { return this.ask("POST", this.session + "/url", { url }); }
  run(script, ...args) { return this.ask("POST", this.session + "/execute/sync", { script, args }); }
  // Chromium's own: sizes of screens, dark and light, the network.
  tell(cmd, params) { return this.ask("POST", this.session + "/goog/cdp/execute", { cmd, params }); }
  async screen(width, height) {
    await this.tell("Emulation.setDeviceMetricsOverride", { width, height, deviceScaleFactor: 1, mobile: width < 600 });
  }
  async picture(whole) {
    const made = await this.tell("Page.captureScreenshot", { format: "png", captureBeyondViewport: whole });
    return Buffer.from(made.data, "base64");
  }
  // A key where the keyboard's focus is.
  async type(text) {
    const actions = [...text].flatMap((value) => [{ type: "keyDown", value }, { type: "keyUp", value }]);
    await this.ask("POST", this.session + "/actions", { actions: [{ type: "key", id: "keys", actions }] });
  }
  press(name) { return this.type(KEYS[name]); }
}

module.exports = { Browser, until, wait };
