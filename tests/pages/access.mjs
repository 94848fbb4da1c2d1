// The known rules of accessibility, with axe-core: no violation in light, dark, forced colours, print, on a phone.
import { readFileSync } from "node:fs";
import { browser, check, end, open, sheets } from "./browser.mjs";

const axe = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const WAYS = {
  light: {},
  dark: { dark: true },
  phone: { width: 320, dark: true },
  print: { media: "print" },
  forced: { features: [{ name: "forced-colors", value: "active" }] },
};

// One sheet in every way, the one with the longest texts where it is tight, the others once.
const ways = (name) => name === "hw-012.html" ? Object.keys(WAYS) : name === "long.html" ? ["phone", "print"] : name.startsWith("refused") ? ["dark"] : ["light"];

for (const name of sheets) {
  for (const [way, how] of Object.entries(WAYS)) {
    if (!ways(name).includes(way)) continue;
    const page = await open(name, { ...how, before: (page) => page.setBypassCSP(true) });
    await page.evaluate(axe);
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
    check(`${name}, ${way}: rules were run`, found.passes.length > 20, String(found.passes.length));
    for (const one of found.violations) {
      const nodes = one.nodes.slice(0, 4).map((node) => `${node.target.join(" ")} (${node.failureSummary.replace(/\s+/g, " ").slice(0, 160)})`);
      check(`${name}, ${way}: ${one.id}`, false, `${one.help}: ${one.nodes.length} of them: ${nodes.join("; ")}`);
    }
    check(`${name}, ${way}: no fault`, page.faults.length === 0, page.faults);
    await page.close();
  }
}
await end();
