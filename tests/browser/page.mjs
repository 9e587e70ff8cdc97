// Opens the page in Chromium and does with it what people do: four stories from an empty folder, by mouse, by keyboard
// alone and at the width of a phone; two tabs, a reload in the middle of work, a program that ends and comes back.
// Usage: node page.mjs BEDYEAR FOLDER [PICTURES]
// Ends with 0 if all holds, 1 if not, 77 (the usual code of a skipped test) if no browser is there.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import fs from "node:fs";
import http from "node:http";
import path from "node:path";
import readline from "node:readline";
import { axe, launch } from "./start.mjs";

const [program, folder, pictures] = process.argv.slice(2);
const PATIENCE = 180_000; // a slow machine that does other things too
const hosts = new Set();
const VIEWS = ["/", "/cold", "/food", "/beds", "/stay", "/money", "/week", "/take", "/changes"];
fs.rmSync(folder, { recursive: true, force: true });
fs.mkdirSync(folder, { recursive: true });
if (pictures) fs.mkdirSync(pictures, { recursive: true });

/** Starts the program on a file; gives its address. */
async function open(file) {
  const child = spawn(program, ["open", file, "--no-browser"], { stdio: ["ignore", "ignore", "pipe"] });
  const lines = readline.createInterface({ input: child.stderr });
  const address = await new Promise((found, failed) => {
    lines.on("line", (line) => line.includes("http://") && found(line.slice(line.indexOf("http://")).trim()));
    child.on("exit", (code) => failed(new Error(`the program ended with ${code}`)));
  });
  hosts.add(new URL(address).host);
  return { child, address };
}

const browser = await launch();
const problems = [];

/** A window in which everything that goes wrong is taken down. */
async function newWindow(options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, ...options });
  context.setDefaultTimeout(60_000);
  context.on("request", (request) => {
    const url = new URL(request.url());
    if (!["data:", "about:"].includes(url.protocol) && !hosts.has(url.host)) problems.push(`asks for ${url}`);
  });
  const watch = (page) => {
    page.on("pageerror", (error) => problems.push(String(error)));
    page.on("dialog", (dialog) => (problems.push(`dialog: ${dialog.message()}`), dialog.dismiss()));
    page.on("console", (message) => {
      const quiet = /ERR_CONNECTION_REFUSED|ERR_EMPTY_RESPONSE|ERR_INCOMPLETE_CHUNKED|ERR_CONNECTION_RESET/.test(message.text());
      if (message.type() === "error" && !quiet) problems.push(message.text());
    });
    return page;
  };
  context.on("page", watch);
  return context;
}

const settled = (page) =>
  page.waitForFunction(() => {
    const doing = document.getElementById("doing");
    return doing && doing.textContent === "" && !document.querySelector("main .waiting");
  }, null, { timeout: PATIENCE });
const answer = (page) => page.locator(".answer").first().innerText();
const base = (address) => new URL(address).origin;

let lost = 0;

/** Does something and waits until the sheet that answers it is in place. */
async function answered(page, act) {
  const before = await page.evaluate(() => Number(document.querySelector("main").dataset.version));
  const sent = page.waitForResponse((response) => response.request().method() === "POST");
  // A sheet that is drawn anew under the mouse takes the click away: a person clicks again.
  const asked = page.waitForRequest((request) => request.method() === "POST", { timeout: 5000 }).catch(() => null);
  await act();
  if (!(await asked)) {
    assert.ok((lost += 1) <= 1, "clicks that nothing follows are no chance");
    console.log("a click was lost and made again");
    await act();
  }
  const status = (await sent).status();
  await page.waitForFunction((old) => Number(document.querySelector("main")?.dataset.version) > old, before);
  return status;
}

/** Sets a field of the page and waits for the program's answer. */
async function set(page, label, value) {
  const field = page.getByLabel(label, { exact: true }).first();
  // A part of the set-up may be folded.
  await field.evaluate((node) => {
    for (let at = node.closest("details"); at; at = at.parentElement.closest("details")) at.open = true;
  });
  const chosen = (await field.evaluate((node) => node.tagName)) === "SELECT";
  const status = await answered(page, async () => {
    if (chosen) return field.selectOption(value);
    await field.fill(value);
    await field.press("Enter");
  });
  assert.equal(status, 200, `${label}: ${value}`);
}

async function press(page, name) {
  const button = page.getByRole("button", { name, exact: true }).first();
  assert.equal(await answered(page, () => button.click()), 200, name);
}

async function accessible(page, where) {
  await page.evaluate(axe);
  const found = await page.evaluate(() =>
    window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  const words = found.violations.map((one) => `${one.id}: ${one.help}: ${one.nodes.map((node) => node.html.slice(0, 160)).slice(0, 3).join(" | ")}`);
  assert.deepEqual(words, [], `${where}: accessibility`);
  assert.ok(found.passes.length > 15, `${where}: the accessibility check ran`);
}

async function fits(page, where) {
  const [over, what] = await page.evaluate(() => {
    const wide = [...document.querySelectorAll("body *")].filter(
      (one) => one.getBoundingClientRect().right > innerWidth + 1 && !one.closest("nav, table, svg, details"),
    );
    const named = wide.map((one) => `${one.tagName}.${one.className} ${one.textContent.trim().slice(0, 40)}`);
    return [document.documentElement.scrollWidth - innerWidth, named.slice(0, 4).join(" | ")];
  });
  assert.ok(over <= 0, `${where}: ${over} px too wide: ${what}`);
}

async function download(page, name) {
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name, exact: true }).click()]);
  return fs.readFileSync(await file.path(), "utf8");
}

// A project from an empty folder: nothing is written before it is saved.
const file = path.join(folder, "greenhouse.toml");
let { child, address } = await open(file);
const window1 = await newWindow();
const page = await window1.newPage();
await page.goto(address);
assert.ok(!page.url().includes("key="), "the key stays out of the address bar");
assert.ok(!fs.existsSync(file));
// A name that several towns have is asked about; a town that is none of the shelf gets its climate estimated.
await page.getByLabel("Place").first().fill("Springfield");
await press(page, "Begin here");
await page.getByText("towns are called").waitFor();
await press(page, "Springfield, Oregon, United States");
await page.getByText("Springfield, Oregon").first().waitFor();
await press(page, "Undo");
await page.getByLabel("Place").first().fill("Helena");
await press(page, "Begin here");
// Few weather years keep the test short.
await page.goto(`${base(address)}/?field=year.weather_years`);
await set(page, "Weather years to try", "6");

// Story: a family plans winter greens.
await page.goto(`${base(address)}/food`);
await settled(page);
await set(page, "Target 1", "1.5 kg salad greens a week from October to April");
await settled(page);
assert.match(await answer(page), /target|falls? short/i);
console.log(`greens: ${await answer(page)}`);
const sum = await page.locator(".gaps li, .answer").count();
assert.ok(sum > 0);

// Story: how long can tomatoes stay, and with a heater.
await page.getByRole("link", { name: "How long can it stay?" }).click();
await settled(page);
const before = await answer(page);
assert.match(before, /months/);
await set(page, "Heater keeps the air at", "8 C");
await settled(page);
console.log(`tomato: ${before}\n        heated: ${await answer(page)}`);
assert.notEqual(await answer(page), before);
await press(page, "Undo");
await settled(page);
assert.equal(await answer(page), before, "undo brings the former answer back");

// A knob of the house answers at once, first roughly.
await page.getByRole("link", { name: "How cold does it get?" }).click();
await settled(page);
const cold = await answer(page);
await set(page, "Night curtain", "R-2");
await settled(page);
assert.match(await answer(page), /was/, `the former figure stands beside: ${await answer(page)}`);
assert.notEqual(await answer(page), cold);
await set(page, "Night curtain", "as thick as it gets");
assert.ok(await page.locator(".wrong").first().isVisible(), "what cannot be is told beside the field");
await set(page, "Night curtain", "R-2");

// Story: produce savings against the groceries.
await page.getByRole("link", { name: "Does it pay?" }).click();
await settled(page);
await set(page, "Groceries in all", "1000 USD/month");
await set(page, "Fruit and vegetables of it", "135 USD/month");
await settled(page);
console.log(`money: ${await answer(page)}`);
assert.match(await answer(page), /% of all groceries/);

// Which bed, when: by keyboard alone, the effect before it is kept.
await page.getByRole("link", { name: "Which bed, when?" }).click();
await settled(page);
const bars = page.locator("a.bar[data-key]");
assert.ok((await bars.count()) > 3, "sowings on the chart");
await bars.first().focus();
await page.keyboard.press("Enter");
await page.locator("#chosen").waitFor();
const key = new URL(page.url()).searchParams.get("at");
// What stands over the turn of the year is drawn twice.
const drawn = await page.locator(`a.bar[data-key="${key}"]`).count();
await page.getByRole("button", { name: "Take it out" }).focus();
await page.keyboard.press("Enter");
await page.locator("#offer").waitFor();
assert.ok(await page.locator("#offer table, #offer p").count());
await page.getByRole("button", { name: "Leave it as it was" }).focus();
await page.keyboard.press("Enter");
await page.locator("#offer").waitFor({ state: "detached" });
const days = page.locator("#move-day option");
if ((await days.count()) > 1) {
  const other = await days.evaluateAll((all) => all.find((one) => !one.selected).value);
  await page.locator("#move-day").selectOption(other);
  await page.locator("#move-day").evaluate((node) => node.form.requestSubmit());
  await page.locator("#offer").waitFor();
  await press(page, "Keep it");
  await settled(page);
  assert.equal(await page.locator(`a.bar[data-key="${key}"]`).count(), 0, "moved");
  await press(page, "Undo");
  await settled(page);
  assert.equal(await page.locator(`a.bar[data-key="${key}"]`).count(), drawn, "moved back");
}
// Dragged with the mouse.
const bar = bars.first().locator("rect").first();
await bar.scrollIntoViewIfNeeded();
const box = await bar.boundingBox();
await page.mouse.move(box.x + 8, box.y + 6);
await page.mouse.down();
await page.mouse.move(box.x + 60, box.y + 8, { steps: 5 });
await page.mouse.up();
await page.locator("#offer, main .trouble").first().waitFor();
if (await page.locator("#offer").count()) await press(page, "Leave it as it was");
// Locked: it cannot be moved until it is unlocked.
await page.goto(`${base(address)}/beds?at=${encodeURIComponent(key)}`);
await settled(page);
await press(page, "Lock");
assert.equal(await page.getByRole("button", { name: "Take it out" }).count(), 0);
// A new plan leaves it where it is.
await press(page, "Plan anew");
await settled(page);
await page.locator("#offer").waitFor();
assert.equal(await page.getByText("It does without locked sowings").count(), 0, "the locked sowing is in the new plan");
await press(page, "Leave it as it was");
await page.goto(`${base(address)}/beds?at=${encodeURIComponent(key)}`);
await settled(page);
await press(page, "Unlock");
// Ended early: the bed is free before, and the effect is shown.
const ends = page.locator("#end-day");
if (await ends.count()) {
  await answered(page, () => ends.evaluate((node) => node.form.requestSubmit()));
  await page.locator("#offer").waitFor();
  assert.match(await page.locator("#offer").innerText(), /ended early/);
  await press(page, "Leave it as it was");
}
// Mended: what is agreed works, so it stays as it is or comes as an offer that can be kept and taken back.
const sowings = await bars.count();
await press(page, "Mend the plan");
await settled(page);
await page.locator("#offer").waitFor();
await press(page, "Keep it");
await settled(page);
await press(page, "Undo");
await settled(page);
assert.equal(await bars.count(), sowings, "undo brings the plan back that was mended");

// Saving tells what changes and writes it.
await page.goto(`${base(address)}/changes`);
await press(page, "Save");
await page.getByText("saved:").waitFor();
assert.ok(fs.existsSync(file) && fs.existsSync(file.replace(/toml$/, "plan.toml")));
const saved = fs.readFileSync(file, "utf8");
assert.match(saved, /produce = "135 USD\/month"/);
assert.match(saved, /# A project file for bedyear/, "comments stay");

// Story: the bed calendar as CSV and on the phone.
await page.getByRole("link", { name: "Take away" }).click();
await settled(page);
const csv = await download(page, "Work as CSV");
assert.match(csv, /^date,bed,/);
assert.ok(csv.trim().split("\n").length > 10);
const calendar = await download(page, "Calendar");
assert.match(calendar, /BEGIN:VCALENDAR[\s\S]*BEGIN:VEVENT[\s\S]*END:VCALENDAR/);
assert.equal(await download(page, "The project file"), saved);
const sheets = await window1.newPage();
await sheets.goto(`${base(address)}/take/sheets`);
assert.equal(await sheets.locator("section.sheet").count(), 2);
if (pictures) await sheets.pdf({ path: path.join(pictures, "sheets.pdf"), format: "A4" });
await sheets.close();

// This week: done, and what was picked, goes into the journal at once.
await page.goto(`${base(address)}/week?day=2027-09-06`);
await settled(page);
const journal = file.replace(/toml$/, "journal.csv");
await page.locator("#log-more summary").click();
await page.getByLabel("Bed", { exact: true }).selectOption({ index: 1 });
await page.getByLabel("Crop", { exact: true }).selectOption("spinach");
await page.getByLabel("How much").fill("1.2 kg");
await press(page, "Write");
await page.getByText("in the journal:").waitFor();
assert.match(fs.readFileSync(journal, "utf8"), /2027-09-06,harvested,[^,]+,spinach,1\.2,kg/);
await settled(page);
if (await page.locator(".work-lines li").count()) {
  const rows = fs.readFileSync(journal, "utf8").trim().split("\n").length;
  await page.locator(".work-lines li").first().getByRole("button", { name: "Later" }).click();
  await page.getByText("in the journal:").waitFor();
  assert.equal(fs.readFileSync(journal, "utf8").trim().split("\n").length, rows + 1);
  assert.match(fs.readFileSync(journal, "utf8"), /put off to 2027-09-13/);
}
// The rest of the year anew from the journal: a list of changes first; kept, then taken back.
await settled(page);
const agreed = fs.readFileSync(file, "utf8");
await press(page, "Plan the rest of the year");
await settled(page);
await page.locator("#offer").waitFor();
assert.match(await page.locator("#offer").innerText(), /sowings stay as agreed/);
await press(page, "Keep it");
await settled(page);
const project = await (await window1.request.get(`${base(address)}/take/project.toml`)).text();
assert.match(project, /from = "?2027-09-06/, "the plan begins on the day of the week that is shown");
await press(page, "Undo");
await settled(page);
assert.equal(fs.readFileSync(file, "utf8"), agreed, "nothing is written before it is saved");

// Every view: wide and as on a phone, light and dark; nothing sticks out, nothing that a reader's program trips over.
for (const [name, width, height, colorScheme] of [
  ["wide", 1280, 900, "light"], ["wide-dark", 1280, 900, "dark"], ["middle", 800, 1000, "light"],
  ["narrow", 390, 844, "light"], ["narrow-dark", 390, 844, "dark"],
]) {
  await page.setViewportSize({ width, height });
  await page.emulateMedia({ colorScheme });
  for (const view of VIEWS) {
    const where = `${view} ${name}`;
    await page.goto(base(address) + view);
    await settled(page);
    await fits(page, where);
    await accessible(page, where);
    if (pictures) await page.screenshot({ path: path.join(pictures, `${view.slice(1) || "setup"}-${name}.png`), fullPage: true });
    // The first step of the keyboard leads to the answer, the rest through every control.
    if (name === "wide") {
      await page.locator("body").focus();
      const seen = new Set();
      for (let step = 0; step < 40; step += 1) {
        await page.keyboard.press("Tab");
        seen.add(await page.evaluate(() => document.activeElement.outerHTML.slice(0, 120)));
      }
      assert.ok(seen.size >= 12, `${where}: ${seen.size} places reached by keyboard`);
    }
  }
}
await page.setViewportSize({ width: 1280, height: 900 });
await page.emulateMedia({ colorScheme: "light" });

// Two tabs: what one changes the other shows, without being asked.
const other = await window1.newPage();
await other.goto(`${base(address)}/cold`);
await page.goto(`${base(address)}/?field=name`);
await set(page, "Name of the project", "Two tabs");
await other.getByText("Two tabs").first().waitFor();
await other.close();
// A reload in the middle of work.
await page.goto(`${base(address)}/beds`);
await settled(page);
await press(page, "Plan anew");
await page.reload();
await settled(page);
assert.ok(await page.locator("#offer").count(), "the new plan waits for a yes or a no");
await press(page, "Leave it as it was");

// Without script the page can be read.
const plain = await newWindow({ javaScriptEnabled: false, storageState: await window1.storageState() });
const bare = await plain.newPage();
await bare.goto(`${base(address)}/food`);
assert.ok((await bare.locator(".answer").innerText()).length > 40);
assert.ok((await bare.locator(".spot title").count()) > 50, "values are there as tooltips");

// A page from elsewhere that posts to this one is refused.
const trap = http.createServer((_, response) => {
  response.setHeader("content-type", "text/html");
  response.end(`<form method="post" action="${base(address)}/do/set"><input name="path" value="name"><input name="value" value="taken"></form><script>document.forms[0].submit()</script>`);
});
await new Promise((done) => trap.listen(0, "127.0.0.1", done));
const hostile = await browser.newContext({ storageState: await window1.storageState() });
const lured = await hostile.newPage();
await lured.goto(`http://127.0.0.1:${trap.address().port}/`);
await lured.getByText("bedyear:").waitFor({ timeout: PATIENCE });
await hostile.close();
trap.close();
await page.reload();
assert.equal(await page.getByText("taken").count(), 0);

// The program ends; the page says so, and nothing is lost.
await page.goto(`${base(address)}/?field=name`);
await set(page, "Name of the project", "Before the end");
child.kill("SIGKILL");
await page.locator("#gone").waitFor();
await plain.close();
({ child, address } = await open(file));
await page.goto(address);
await page.getByText("not saved the last time").waitFor();
await press(page, "Take them up");
await page.getByText("Before the end").first().waitFor();
await press(page, "Save");
assert.match(fs.readFileSync(file, "utf8"), /name = "Before the end"/);
const ended = new Promise((done) => child.on("exit", done));
await page.getByRole("button", { name: "End the program" }).click();
assert.equal(await ended, 0);

assert.deepEqual(problems, []);
await browser.close();
console.log("the page holds");
