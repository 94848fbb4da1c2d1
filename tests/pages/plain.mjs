// The page by itself: nothing asked of the network, complete without script and without style, both systems of units,
// used by the keyboard alone.
import { check, end, open, sheets, address } from "./browser.mjs";

const text = () => document.querySelector("main").innerText.replace(/\s+/g, " ");

for (const name of sheets) {
  const asked = [];
  const page = await open(name, { before: async (page) => page.on("request", (request) => asked.push(request.url())) });
  const refused = await page.evaluate(() => fetch("https://example.org/").then(() => "answered", () => "refused"));
  const image = await page.evaluate(() => new Promise((done) => {
    const one = new Image();
    one.onload = () => done("loaded");
    one.onerror = () => done("refused");
    one.src = "data:image/gif;base64,R0lGODlhAQABAAAAACw=";
  }));
  check(`${name}: the page asks for itself alone`, asked.filter((one) => one !== address(name) && !one.startsWith("data:")).length === 0, asked);
  check(`${name}: its policy refuses what a script asks for`, refused === "refused" && image === "refused", [refused, image]);
  const faults = page.faults.filter((fault) => !/example\.org|data:image|Failed to fetch|ERR_/.test(fault));
  check(`${name}: no fault`, faults.length === 0, faults);
  const shape = await page.evaluate(() => {
    const levels = [...document.querySelectorAll("h1,h2,h3")].map((one) => Number(one.tagName[1]));
    return {
      lang: document.documentElement.lang,
      h1: levels.filter((level) => level === 1).length,
      jumps: levels.some((level, at) => at > 0 && level > levels[at - 1] + 1),
      heads: [...document.querySelectorAll("th")].every((head) => head.scope === "col" || head.scope === "row"),
      captions: [...document.querySelectorAll("table:not(.boxes)")].every((table) => table.caption !== null),
      pictures: [...document.querySelectorAll("svg:not([aria-hidden])")].every((svg) => svg.querySelector("title") && svg.querySelector("desc")),
      labels: [...document.querySelectorAll("input,select,textarea")].every((one) => one.labels.length > 0 || one.getAttribute("aria-label")),
      inline: document.querySelectorAll("[style],[onclick],[src]").length,
    };
  });
  check(`${name}: shape`, shape.lang === "en" && shape.h1 === 1 && !shape.jumps && shape.heads && shape.captions && shape.pictures && shape.labels && shape.inline === 0, shape);
  const full = await page.evaluate(text);
  await page.close();

  // Without script: the same words, nothing dead.
  const bare = await open(name, { script: false });
  const without = await bare.evaluate(text);
  const steps = await bare.evaluate(() => [...document.querySelectorAll(".steps li, .hold, .sig")].filter((one) => one.getBoundingClientRect().height === 0).length);
  check(`${name}: without script no button, every step, caution and hold`, steps === 0 && (await bare.$("button")) === null);
  const words = [...new Set(without.split(" "))].filter((word) => !full.includes(word) && !["accept", "reject"].includes(word));
  check(`${name}: without script no word is another`, words.length === 0, words.slice(0, 10));
  // The switch of units works by style alone.
  const shown = async () => bare.evaluate(() => {
    const seen = (name) => [...document.querySelectorAll(`main ${name}`)].filter((one) => one.getClientRects().length > 0).length;
    return [seen(".m"), seen(".i"), seen(".p")];
  });
  const both = await shown();
  if (both[0] > 0) {
    check(`${name}: both systems are shown at first`, both[0] === both[1], both);
    for (const [id, hidden] of [["metric", 1], ["inch", 0]]) {
      await bare.click(`#units-${id}`);
      const now = await shown();
      check(`${name}: ${id} alone`, now[hidden] === 0 && now[1 - hidden] === both[1 - hidden] && now[2] === 0, now);
      await bare.emulateMediaType("print");
      const printed = await shown();
      check(`${name}: paper shows both`, printed[0] === printed[1] && printed[0] > 0, printed);
      await bare.emulateMediaType("screen");
    }
    await bare.click("#units-both");
  }
  // Without style: the same words in the same order.
  await bare.evaluate(() => document.querySelectorAll("style").forEach((style) => style.remove()));
  const naked = await bare.evaluate(() => document.body.innerText.replace(/\s+/g, " "));
  const lost = await bare.evaluate(() => [...document.querySelectorAll(".steps .do, .hold .criterion, .sig p, main td, main th")].map((one) => one.textContent.replace(/\s+/g, " ").trim()));
  check(`${name}: complete without style`, lost.every((one) => naked.includes(one)), lost.filter((one) => !naked.includes(one)).slice(0, 3));
  await bare.close();
}

// The keyboard alone.
const page = await open("hw-012.html");
const all = await page.evaluate(() => {
  let radio = false;
  return [...document.querySelectorAll("a[href], input, select, button, summary")]
    .filter((one) => !one.hidden && !one.disabled && one.tabIndex >= 0 && one.getClientRects().length > 0)
    .filter((one) => one.type !== "radio" || !radio && (radio = true))
    .map((one, at) => (one.dataset.tab = String(at))).length;
});
const reached = [];
const unseen = [];
for (let count = 0; count < all * 3; count += 1) {
  await page.keyboard.press("Tab");
  const now = await page.evaluate(() => {
    const one = document.activeElement;
    const style = getComputedStyle(one);
    return { tab: one.dataset.tab, seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2, what: `${one.tagName} ${one.type} ${one.id} ${one.className} ${style.outlineStyle}`, body: one === document.body };
  });
  if (now.body) break;
  if (now.tab !== undefined && !reached.includes(now.tab)) reached.push(now.tab);
  if (!now.seen) unseen.push(now.what);
}
check("every control is reached with Tab, in order", reached.length === all && reached.every((tab, at) => at === 0 || Number(tab) > Number(reached[at - 1])), `${reached.length} of ${all}`);
check("the focus is seen everywhere", unseen.length === 0, unseen.slice(0, 5));
await page.reload();
await page.keyboard.press("Tab");
check("the first is the way to the sheet", await page.evaluate(() => document.activeElement.matches(".skip") && document.activeElement.getBoundingClientRect().left >= 0));
await page.keyboard.press("Enter");
check("and it leads there", await page.evaluate(() => document.activeElement.id === "sheet-body"));
await page.focus(".steps input");
await page.keyboard.press("Space");
check("Space ticks a step", await page.evaluate(() => document.querySelector(".steps input").checked));
await page.focus("#units-both");
await page.keyboard.press("ArrowRight");
check("an arrow turns the switch of units", await page.evaluate(() => document.querySelector("#units-metric").checked));
await page.close();

// A refusal.
const refused = sheets.find((name) => name.startsWith("refused"));
const no = await open(refused);
const said = await no.evaluate(() => ({ banner: document.querySelector(".banner.no strong")?.innerText, settings: document.querySelectorAll(".t-settings, .t-passes").length, run: document.querySelectorAll("#run").length }));
check("a refusal says so and gives no setting", said.banner === "NOT HERE" && said.settings === 0 && said.run === 0, said);
await no.close();
await end();
