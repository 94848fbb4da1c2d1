// The page on screens from 320 px to a desk: nothing wider than the screen, with and without the script, also with
// text twice as large; what is touched is large enough; light, dark and forced colours.
import { check, end, open, sheets } from "./browser.mjs";

/** Elements that stick out of the screen, and texts wider than their box. */
const sticking = () => {
  const wide = document.documentElement.clientWidth;
  const out = [];
  for (const element of document.querySelectorAll("body *")) {
    if (element.closest(".defs, .skip, .told, details, thead") || element.closest("[hidden]")) continue;
    const box = element.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) continue;
    if (box.right > wide + 0.5 || box.left < -0.5) out.push(`${element.tagName}.${element.className} ${Math.round(box.left)} to ${Math.round(box.right)}: ${element.textContent.trim().slice(0, 40)}`);
    if (/^(TD|TH|P|LI|LABEL|BUTTON)$/.test(element.tagName) && element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0) out.push(`${element.tagName}.${element.className} holds ${element.scrollWidth} in ${element.clientWidth}: ${element.textContent.trim().slice(0, 40)}`);
  }
  return { whole: document.documentElement.scrollWidth, wide, out: out.slice(0, 5), count: out.length };
};

for (const name of sheets) {
  for (const script of [true, false]) {
    const page = await open(name, { script, dark: script });
    for (const width of script ? [320, 390, 768, 900, 1280] : [320, 768]) {
      await page.setViewport({ width, height: 900 });
      const found = await page.evaluate(sticking);
      const of = `${name} at ${width} px${script ? "" : " without script"}`;
      check(`${of}: no scrolling to the side`, found.whole <= found.wide, `${found.whole}`);
      check(`${of}: nothing sticks out`, found.count === 0, found);
    }
    await page.close();
  }
  const page = await open(name, { width: 640 });
  await page.evaluate(() => { document.documentElement.style.fontSize = "36px"; });
  const found = await page.evaluate(sticking);
  check(`${name}, text twice as large: no scrolling to the side`, found.whole <= found.wide, found);
  await page.close();
}

// What is touched.
const page = await open("hw-012.html", { width: 390, dark: true });
const small = await page.evaluate(() => [...document.querySelectorAll("input:not([hidden]), select, button, nav a, .steps label, summary")]
  .map((one) => [one, (one.closest("label") && one.type !== "text" ? one.closest("label") : one).getBoundingClientRect()])
  .filter(([one, box]) => box.height < (one.matches(".steps label") ? 64 : 44) && !one.closest("details, [hidden]"))
  .map(([one, box]) => `${one.tagName} ${one.type} ${Math.round(box.height)}`));
check("what is touched is at least 44 px high, a step 64 px", small.filter((text) => !text.startsWith("SUMMARY")).length === 0, small);
const colours = await page.evaluate(() => ["color", "backgroundColor"].map((key) => getComputedStyle(document.documentElement)[key]));
check("dark is dark", colours[0] === "rgb(232, 232, 232)" && colours[1] === "rgb(18, 18, 18)", colours);
const large = await page.evaluate(() => parseFloat(getComputedStyle(document.querySelector(".t-settings td:nth-child(2)")).fontSize));
check("the values to set are 32 px on a phone", large >= 32, String(large));
await page.close();

const forced = await open("hw-012.html", { features: [{ name: "forced-colors", value: "active" }] });
const frames = await forced.evaluate(() => ["steps input", "hold", "sig", "alert", "banner"].map((name) => {
  const style = getComputedStyle(document.querySelector(`.${name}`));
  return [name, parseFloat(style.borderTopWidth) > 1 && style.borderTopStyle !== "none" && style.borderTopColor !== style.backgroundColor];
}));
check("frames stay in forced colours", frames.every(([, fine]) => fine), frames);
await forced.close();
await end();
