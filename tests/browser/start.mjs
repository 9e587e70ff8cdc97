// What every browser test begins with: Chromium, and the check for readers' programs. Without them the test ends with 77.
import { createRequire } from "node:module";
import fs from "node:fs";

const require = createRequire(import.meta.url);
const skip = (why) => {
  console.log(`SKIPPED browser test: ${why}`);
  process.exit(77);
};

let chromium;
let axe;
try {
  ({ chromium } = require("playwright-core"));
  axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
} catch {
  skip("run `npm ci` in tests/browser first");
}
const places = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
const executablePath = process.env.CHROMIUM ?? places.find((place) => fs.existsSync(place));
if (!executablePath) skip("no Chromium; on Debian: apt-get install chromium");

/** Text of the accessibility check, to be run in a page. */
export { axe };

/** Starts the browser. */
export const launch = () => chromium.launch({ executablePath, args: ["--no-sandbox"] });
