// Opens the report in Chromium: wide, narrow, dark, on paper. Points, clicks, uses the keys and reads the values.
// Usage: node check.mjs REPORT.html FOLDER_FOR_PICTURES
// Ends with 0 if all holds, 1 if not, 77 (the usual code of a skipped test) if no browser is there.
import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { axe, launch } from "./start.mjs";

const [report, pictures] = process.argv.slice(2);
const browser = await launch();
const address = pathToFileURL(path.resolve(report)).href;
const views = [
  { name: "wide", width: 1280, height: 900, colorScheme: "light" },
  { name: "wide-dark", width: 1280, height: 900, colorScheme: "dark" },
  { name: "narrow", width: 390, height: 844, colorScheme: "light" },
  { name: "narrow-dark", width: 390, height: 844, colorScheme: "dark" },
];

async function reads(page, figure) {
  const plot = page.locator(`#${figure} .plot`);
  const reading = page.locator(`#${figure} .reading`);
  const spots = page.locator(`#${figure} .spot`);
  const count = await spots.count();
  assert.ok(count > 0, `${figure}: no values`);
  const words = (index) => spots.nth(index).locator("title").textContent();

  await spots.nth(Math.floor(count / 2)).hover();
  assert.equal(await reading.textContent(), await words(Math.floor(count / 2)), `${figure}: hover`);
  await spots.nth(0).click();
  assert.equal(await reading.textContent(), await words(0), `${figure}: click`);
  await plot.focus();
  await page.keyboard.press("ArrowRight");
  assert.equal(await reading.textContent(), await words(1 % count), `${figure}: arrow`);
  await page.keyboard.press("End");
  assert.equal(await reading.textContent(), await words(count - 1), `${figure}: end`);

  const table = page.locator(`#${figure} details.behind table`);
  // Other charts have their table in the open, below or in the part beside them.
  if (await table.count() === 0) return;
  assert.equal(await table.isVisible(), false, `${figure}: table closed at first`);
  await page.locator(`#${figure} summary`).focus();
  await page.keyboard.press("Enter");
  assert.equal(await table.isVisible(), true, `${figure}: table opens by keyboard`);
  await page.keyboard.press("Enter");
}

for (const view of views) {
  const page = await browser.newPage({
    viewport: { width: view.width, height: view.height },
    colorScheme: view.colorScheme,
    // The check library is put into the page, which the page's own policy rightly forbids.
    bypassCSP: true,
  });
  const problems = [];
  page.on("console", (message) => message.type() === "error" && problems.push(message.text()));
  page.on("pageerror", (error) => problems.push(String(error)));
  page.on("request", (request) => !request.url().startsWith(address) && problems.push(`asks for ${request.url()}`));
  await page.goto(address);

  assert.equal(await page.locator("details.part[open]").count(), 0, `${view.name}: the rest is folded at first`);
  await page.goto(`${address}#value`);
  assert.equal(await page.locator("#value > details[open]").count(), 1, `${view.name}: a link unfolds its part`);
  await page.evaluate(() => document.querySelectorAll("details.part").forEach((part) => { part.open = true; }));

  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(overflow <= 0, `${view.name}: the page is ${overflow} px too wide`);
  const smallest = await page.evaluate(() =>
    Math.min(...[...document.querySelectorAll(".plot svg text")]
      .filter((text) => getComputedStyle(text).display !== "none" && text.textContent.trim())
      .map((text) => text.getBoundingClientRect().height)));
  assert.ok(smallest >= 10, `${view.name}: letters ${smallest} px high`);

  const figures = await page.locator("figure").evaluateAll((all) => all.map((figure) => figure.id));
  assert.ok(figures.length >= 6, `${view.name}: ${figures.length} charts`);
  // Values do not depend on the colours.
  if (view.colorScheme === "light") for (const figure of figures) await reads(page, figure);

  if (view.name === "wide") {
    const row = await page.locator("#value > details > .scroll tbody tr").first().locator("td").allTextContents();
    await page.locator("#money .spot").first().hover();
    const spoken = await page.locator("#money .reading").textContent();
    const value = Math.round(Number(row[4]));
    assert.ok(spoken.includes(`value ${value},`), `table has ${value}, the drawing says: ${spoken}`);
  }

  await page.evaluate(axe);
  const result = await page.evaluate(() =>
    window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  for (const found of result.violations) {
    console.log(`${view.name}: ${found.impact}: ${found.id}: ${found.help} (${found.nodes.length})`);
    console.log(`  ${found.nodes[0].html.slice(0, 200)}`);
  }
  const serious = result.violations.filter((found) => ["serious", "critical"].includes(found.impact));
  assert.deepEqual(serious.map((found) => found.id), [], `${view.name}: accessibility`);
  assert.ok(result.passes.length > 15, "the accessibility check ran");

  assert.deepEqual(problems, [], `${view.name}: console and network`);
  await page.mouse.move(0, 0);
  await page.screenshot({ path: path.join(pictures, `${view.name}.png`), fullPage: true });
  if (view.name === "wide-dark") {
    await page.evaluate(() => document.querySelectorAll("details.part").forEach((part) => { part.open = false; }));
    for (const format of ["A4", "Letter"]) {
      await page.pdf({ path: path.join(pictures, `report-${format}.pdf`), format, printBackground: true });
    }
  }
  console.log(`${view.name}: ${figures.length} charts, ${result.passes.length} accessibility rules passed, ${result.violations.length} remarks`);
  await page.close();
}

// Without scripts the values are still there: as tooltips and in the tables.
const plain = await browser.newContext({ javaScriptEnabled: false });
const page = await plain.newPage();
await page.goto(address);
assert.ok((await page.locator(".spot title").count()) > 100);
await browser.close();
