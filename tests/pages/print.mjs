// The page on paper, A4 and Letter, as a person prints it: no background graphics, the device's dark setting on.
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { browser, check, end, folder, open, sheets } from "./browser.mjs";

const PAPERS = { a4: { width: 8.27, height: 11.69, points: [595, 842] }, letter: { width: 8.5, height: 11, points: [612, 792] } };
/** Margins of the page in points: 12 mm at the sides. */
const SIDE = 34;
const squeezed = (text) => text.normalize("NFKC").toLowerCase().replace(/[\s\u00ad\u2022[\]]/g, "");
const unescaped = (text) => text.replace(/&lt;/g, "<").replace(/&gt;/g, ">").replace(/&quot;/g, "\"").replace(/&apos;|&#39;/g, "'").replace(/&amp;/g, "&");

/** The words of a PDF, page by page, with their boxes. */
function pagesOf(file) {
  const html = execFileSync("pdftotext", ["-bbox", file, "-"], { encoding: "utf8", maxBuffer: 64 << 20 });
  return html.split("<page ").slice(1).map((page) => {
    const [, width, height] = /width="([\d.]+)" height="([\d.]+)"/.exec(page);
    const words = [...page.matchAll(/<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/g)]
      .map(([, left, top, right, bottom, text]) => ({ left: +left, top: +top, right: +right, bottom: +bottom, text: unescaped(text) }));
    return { width: +width, height: +height, words };
  });
}

/** Lightest and darkest grey of a box of a page, 0 black to 1 white, drawn at 100 dpi. */
function greys(file, page, box) {
  const scale = 100 / 72;
  const cut = [box.left, box.top, box.right - box.left, box.bottom - box.top].map((value) => Math.max(1, Math.round(value * scale)));
  const ppm = execFileSync("pdftoppm", ["-r", "100", "-f", String(page), "-l", String(page), "-x", String(cut[0]), "-y", String(cut[1]), "-W", String(cut[2]), "-H", String(cut[3]), file], { maxBuffer: 64 << 20 });
  const head = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(ppm.subarray(0, 40).toString("latin1"));
  const bytes = ppm.subarray(head[0].length);
  const linear = (value) => (value / 255 <= 0.04045 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4);
  let [low, high] = [1, 0];
  for (let at = 0; at + 2 < bytes.length; at += 3) {
    const grey = 0.2126 * linear(bytes[at]) + 0.7152 * linear(bytes[at + 1]) + 0.0722 * linear(bytes[at + 2]);
    low = Math.min(low, grey);
    high = Math.max(high, grey);
  }
  return [low, high];
}

const counts = [];
for (const name of sheets) {
  const page = await open(name, { dark: true, media: "" });
  const wanted = await page.evaluate(() => ({
    doc: `${document.querySelector(".number").textContent} rev ${document.querySelector(".doc b").textContent}`,
    title: document.querySelector("h1").textContent,
    steps: [...document.querySelectorAll(".steps li")].map((li) => ({
      id: li.id,
      step: li.querySelector("label .do").textContent,
      cautions: [...li.querySelectorAll(".sig")].map((sig) => sig.textContent),
    })),
    holds: [...document.querySelectorAll(".hold")].map((hold) => [hold.querySelector(".stop").textContent, hold.querySelector(".criterion").textContent, ...[...hold.querySelectorAll("th")].map((head) => head.textContent)]),
    heads: [...document.querySelectorAll("h2")].filter((head) => !head.closest("footer")).map((head) => [head.textContent, head.nextElementSibling?.textContent.slice(0, 60) ?? ""]),
    cells: [...document.querySelectorAll("main td, main th, main p, main .do, main .sources li")].filter((one) => !one.closest(".screen, thead") && !one.querySelector("input, select")).map((one) => one.textContent),
  }));
  for (const [paper, { width, height, points }] of Object.entries(PAPERS)) {
    const file = join(folder, `${name}.${paper}.pdf`);
    writeFileSync(file, await page.pdf({ width: `${width}in`, height: `${height}in`, printBackground: false, preferCSSPageSize: false, displayHeaderFooter: false, tagged: true, margin: {}, timeout: 60000 }));
    const of = `${name} on ${paper}`;
    const pages = pagesOf(file);
    counts.push(`${of}: ${pages.length} pages`);
    check(`${of}: the paper is the printer's`, pages.every((one) => Math.abs(one.width - points[0]) < 2 && Math.abs(one.height - points[1]) < 2), [pages[0].width, pages[0].height]);

    // Nothing leaves the space inside the margins.
    const cut = pages.flatMap((one, at) => one.words.filter((word) => word.left < SIDE - 1 || word.right > one.width - SIDE + 1 || word.top < 12 || word.bottom > one.height - 12).map((word) => `${at + 1}: ${word.text}`));
    check(`${of}: no cut line`, cut.length === 0, cut.slice(0, 5));

    // The text in the order of the page, blanks taken out.
    const bodies = execFileSync("pdftotext", ["-raw", file, "-"], { encoding: "utf8", maxBuffer: 64 << 20 }).split("\f").slice(0, pages.length).map(squeezed);
    const each = bodies.map((text, at) => text.includes(squeezed(wanted.doc)) && text.includes(`page${at + 1}of${pages.length}`) && text.includes("checktherevision"));
    check(`${of}: number, revision and page on every page`, each.every(Boolean), each.map((fine, at) => (fine ? "" : at + 1)).filter(Boolean).join(" "));

    const pageOf = (text) => bodies.findIndex((body) => body.includes(squeezed(text)));
    for (const { id, step, cautions } of wanted.steps) {
      const at = pageOf(id + step) >= 0 ? pageOf(id + step) : pageOf(step);
      check(`${of}: step ${id} stands whole on one page`, at >= 0, step);
      for (const caution of cautions) check(`${of}: ${id} and its caution stand on one page`, bodies[at]?.includes(squeezed(caution)), caution.slice(0, 60));
    }
    for (const parts of wanted.holds) {
      const places = parts.map(pageOf);
      check(`${of}: a hold stands whole on one page`, bodies.some((body) => parts.every((part) => body.includes(squeezed(part)))), [parts[0], places]);
    }
    for (const [head, first] of wanted.heads) {
      const whole = bodies.some((body) => body.includes(squeezed(head)) && (body.includes(squeezed(first)) || body.indexOf(squeezed(head)) + squeezed(head).length + 20 < body.length));
      check(`${of}: "${head}" is not left alone at the foot`, whole);
    }
    const whole = bodies.join("");
    const lost = wanted.cells.map(squeezed).filter((text) => text !== "" && !whole.includes(text) && !(text.length > 40 && whole.includes(text.slice(0, 30)) && whole.includes(text.slice(-10))));
    check(`${of}: every text is on the paper`, lost.length === 0, lost.slice(0, 5));
    const panel = /(?:DANGER|WARNING|CAUTION|NOTICE)/;
    pages.forEach((one, at) => {
      const last = one.words.filter((word) => word.bottom < one.height - 40).sort((a, b) => a.bottom - b.bottom).slice(-1)[0];
      const row = last ? one.words.filter((word) => Math.abs(word.top - last.top) < 30).map((word) => word.text).join(" ") : "";
      const standing = bodies[at].includes("standingcautions");
      check(`${of}: page ${at + 1} does not end with a signal panel`, standing || !panel.test(row.match(/^\S*\s?(DANGER|WARNING|CAUTION|NOTICE)(?!:)/)?.[0] ?? ""), row);
    });

    // Backgrounds off, dark setting on: signal words and body are read all the same.
    const seen = new Set();
    pages.forEach((one, at) => one.words.forEach((word) => {
      if (!/^(DANGER|WARNING|CAUTION|NOTICE|HOLD)$/.test(word.text) || seen.has(word.text) || word.bottom - word.top < 7.5) return;
      seen.add(word.text);
      const [low, high] = greys(file, at + 1, word);
      check(`${of}: ${word.text} has contrast`, (high + 0.05) / (low + 0.05) >= 4.5, [low, high]);
    }));
    const word = pages[0].words.find((one) => wanted.title.startsWith(one.text) && one.top > 60 && one.text.length > 3);
    const [low, high] = greys(file, 1, word);
    check(`${of}: dark on light`, low < 0.05 && high > 0.95, [low, high]);
  }
  await page.close();
}
console.log(counts.join("\n"));
await end();
