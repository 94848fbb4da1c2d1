// Draws the demo sheets: the first page of each on A4, each card on Letter, three sheets on a phone in the dark, and all
// drawings of those three. Run as: node gallery.mjs FOLDER-OF-SHEETS FOLDER-OF-PICTURES
import { browser, check, end, folder, open, sheets, address } from "./browser.mjs";
import { execFileSync } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const out = process.argv[3];
const unlike = (process.argv[4] ?? "").split(",");
mkdirSync(out, { recursive: true });

/** Some ink, and not a page of one colour. */
function drawn(path) {
  check(path, statSync(path).size > 3000, "an empty picture");
}

async function paper(name, format, stem) {
  const page = await open(name, { media: "print" });
  const pdf = join(out, `${stem}.pdf`);
  await page.pdf({ path: pdf, format, printBackground: true, preferCSSPageSize: false });
  await page.close();
  execFileSync("pdftoppm", ["-r", "80", "-png", "-f", "1", "-l", "1", "-singlefile", pdf, join(out, stem)]);
  drawn(join(out, `${stem}.png`));
}

for (const name of sheets) {
  const card = name.endsWith(".card.html");
  const stem = name.replace(/\.html$/, "").replace(/\.card$/, "-card");
  await paper(name, card ? "letter" : "a4", card ? stem : `${stem}-page-1`);
  if (card || !unlike.includes(stem)) continue;
  const phone = await open(name, { width: 390, dark: true });
  await phone.screenshot({ path: join(out, `${stem}-phone-dark.png`), clip: { x: 0, y: 0, width: 390, height: 1600 } });
  drawn(join(out, `${stem}-phone-dark.png`));
  await phone.close();
}

for (const name of readdirSync(folder).filter((name) => name.endsWith(".svg"))) {
  if (!unlike.some((stem) => name.startsWith(`${stem}-d`))) continue;
  const page = await browser.newPage();
  const [, , width, height] = readFileSync(join(folder, name), "utf8").match(/viewBox="([^"]+)"/)[1].split(" ").map(Number);
  const pixels = (millimetres) => Math.ceil(millimetres / 25.4 * 96);
  await page.setViewport({ width: pixels(width), height: pixels(height), deviceScaleFactor: 2 });
  await page.goto(pathToFileURL(join(folder, name)).href);
  const path = join(out, name.replace(/\.svg$/, ".png"));
  await page.screenshot({ path });
  drawn(path);
  await page.close();
}
check("sheets were drawn", sheets.length > 0, address(""));
await end();
