// A browser for the tests of the pages: opens it, tells each check, counts what fails.
import puppeteer from "puppeteer-core";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const FLAGS = ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync", "--force-color-profile=srgb"];

export const browser = await puppeteer.launch({
  executablePath: process.env.CHROMIUM,
  args: process.getuid?.() === 0 ? [...FLAGS, "--no-sandbox"] : FLAGS,
});

let failed = 0;
let told = 0;

/** Tells one check; `detail` says what is wrong. */
export function check(name, fine, detail = "") {
  told += 1;
  if (fine) return;
  failed += 1;
  console.log(`not ok: ${name}${detail === "" ? "" : `: ${typeof detail === "string" ? detail : JSON.stringify(detail)}`}`);
}

/** Ends the run: the number of checks, and a failure where one failed. */
export async function end() {
  await browser.close();
  console.log(`${told} checks, ${failed} failed`);
  process.exit(failed === 0 && told > 0 ? 0 : 1);
}

/** The folder of the sheets, and the sheets in it. */
export const folder = process.argv[2];
export const sheets = readdirSync(folder).filter((name) => name.endsWith(".html")).sort();
export const address = (name) => pathToFileURL(join(folder, name)).href;

/** A page on a sheet. */
export async function open(name, { width = 1280, dark = false, script = true, media = "screen", features = [], before, context = browser } = {}) {
  const page = await context.newPage();
  page.setDefaultTimeout(20000);
  await page.setViewport({ width, height: 900 });
  await page.setJavaScriptEnabled(script);
  const client = await page.createCDPSession();
  await client.send("Emulation.setEmulatedMedia", { media, features: [{ name: "prefers-color-scheme", value: dark ? "dark" : "light" }, ...features] });
  if (before) await before(page);
  page.faults = [];
  page.on("pageerror", (error) => page.faults.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") page.faults.push(message.text()); });
  await page.goto(address(name));
  return page;
}
