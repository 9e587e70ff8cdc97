// Takes the picture of the page for the readme from the built-in example.
// Usage: node picture.mjs BEDYEAR PICTURE.png [VIEW]
import { spawn } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import readline from "node:readline";
import { launch } from "./start.mjs";

const [program, picture, view = "/beds"] = process.argv.slice(2);
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "bedyear-picture-"));
const file = path.join(folder, "greenhouse.toml");
fs.copyFileSync(new URL("../../examples/helena.toml", import.meta.url), file);
const child = spawn(path.resolve(program), ["open", "greenhouse.toml", "--no-browser"], { cwd: folder, stdio: ["ignore", "ignore", "pipe"] });
const lines = readline.createInterface({ input: child.stderr });
const address = await new Promise((found) => lines.on("line", (line) => line.includes("http://") && found(line.slice(line.indexOf("http://")).trim())));
const browser = await launch();
const page = await browser.newPage({ viewport: { width: 1280, height: 820 }, colorScheme: "light" });
await page.goto(address);
await page.goto(new URL(view, address).href);
await page.waitForFunction(() => document.getElementById("doing")?.textContent === "" && !document.querySelector("main .waiting"), null, { timeout: 600_000 });
await page.screenshot({ path: picture });
console.log(`${picture}: ${fs.statSync(picture).size} bytes`);
await browser.close();
child.kill();
fs.rmSync(folder, { recursive: true });
