// Looks at printable sheets in a real browser.
//
//   node check.mjs FOLDER     every *.html in it; writes PDF and PNG beside each
//
// For each page: nothing leaves the page, no error on the console, no overflow
// sideways on a phone, on A4 and on Letter, no word of a picture outside it, no
// finding of axe-core (WCAG 2.2 A and AA and its best practices), and the number
// of printed pages that FOLDER/expect.json asks for:
//
//   { "name.html": { "pages": [1, 3], "frontPages": 1 } }
//
// The browser is Debian's chromium, or CHROMIUM.
import fs from "node:fs";
import path from "node:path";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const folder = process.argv[2];
if (!folder) {
  console.error("usage: node check.mjs FOLDER");
  process.exit(2);
}
const axe = fs.readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const expected = JSON.parse(fs.readFileSync(path.join(folder, "expect.json"), "utf8"));

// CSS pixels at 96 to the inch: ISO 216 A4 is 210 by 297 mm, ANSI Y14.1 Letter is
// 8.5 by 11 in; 360 is the narrowest width in common use on phones.
const screens = { phone: [360, 740], a4: [794, 1123], letter: [816, 1056] };
const papers = { a4: "A4", letter: "Letter" };

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
let faults = 0;
let looks = 0;

for (const [name, want] of Object.entries(expected)) {
  const fault = (text) => { faults++; console.error(`${name}: ${text}`); };
  const url = pathToFileURL(path.resolve(folder, name)).href;
  const stem = path.join(folder, path.basename(name, ".html"));
  for (const [screen, [width, height]] of Object.entries(screens)) {
    const context = await browser.newContext({ viewport: { width, height }, javaScriptEnabled: true });
    const page = await context.newPage();
    page.on("console", (m) => { if (m.type() === "error" || m.type() === "warning") fault(`${screen}: console: ${m.text()}`); });
    page.on("pageerror", (e) => fault(`${screen}: ${e.message}`));
    page.on("dialog", (d) => { fault(`${screen}: a dialog: ${d.message()}`); d.dismiss(); });
    page.on("request", (r) => { if (r.url() !== url) fault(`${screen}: asks for ${r.url()}`); });
    await page.goto(url);
    looks++;

    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    if (wide > 0) fault(`${screen}: ${wide} px too wide for ${width}`);
    const outside = await page.evaluate(() => [...document.querySelectorAll("svg text")].filter((t) => {
      const word = t.getBoundingClientRect(), sheet = t.closest("svg").getBoundingClientRect();
      return word.left < sheet.left - 0.5 || word.right > sheet.right + 0.5 || word.top < sheet.top - 0.5 || word.bottom > sheet.bottom + 0.5;
    }).map((t) => t.textContent));
    for (const text of outside) fault(`${screen}: outside its picture: ${text}`);
    if (await page.evaluate(() => document.scripts.length) > 0) fault(`${screen}: the page holds a script`);
    await page.screenshot({ path: `${stem}-${screen}.png`, fullPage: true });

    if (screen !== "letter") { // on Letter it is laid out as on A4
      await page.evaluate(axe);
      const found = await page.evaluate(() => window.axe.run(document, {
        runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
      }));
      for (const v of found.violations) {
        fault(`${screen}: axe ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")}`);
      }
    }

    if (papers[screen]) {
      const pages = async (file) => {
        const pdf = await page.pdf({ format: papers[screen], preferCSSPageSize: false, printBackground: true, ...(file ? { path: file } : {}) });
        return (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) || []).length;
      };
      const n = await pages(`${stem}-${screen}.pdf`);
      if (n < want.pages[0] || n > want.pages[1]) fault(`${screen}: ${n} printed pages, want ${want.pages[0]} to ${want.pages[1]}`);
      if (want.frontPages) {
        await page.addStyleTag({ content: ".back { display: none !important; }" });
        const front = await pages();
        if (front !== want.frontPages) fault(`${screen}: the front takes ${front} pages, want ${want.frontPages}`);
      }
    }
    await context.close();
  }
}
await browser.close();
console.log(`${Object.keys(expected).length} files, ${looks} looks, ${faults} faults`);
process.exit(faults ? 1 : 0);
