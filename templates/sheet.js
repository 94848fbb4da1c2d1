// Takes a run down beside the sheet: entries are kept on the device as a convenience and saved to a run record. It works
// nothing out: limits and their words come finished from the program. Without it the sheet is complete on paper.
(function () {
  "use strict";
  const form = JSON.parse(document.getElementById("form").textContent);
  const words = form.words;
  const say = (key, ...args) => words[key].replace(/\{(\d)\}/g, (_, at) => args[at]);
  const make = (name, attributes, ...children) => {
    const element = document.createElement(name);
    for (const key in attributes) element.setAttribute(key, attributes[key]);
    element.append(...children);
    return element;
  };
  const status = document.getElementById("kept");
  const tell = (text) => { status.textContent = text; };
  // What cannot stand in a record: characters that steer, hide or turn the direction of writing.
  const clean = (text) => text.replace(/[\u0000-\u001f\u007f-\u009f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ud800-\udfff\ufeff\ufff9-\uffff]/g, (char) =>
    char === "\n" || char === "\t" ? " " : "").replace(/\s+/g, " ").trim();
  // As many characters as the record holds of each.
  const MOST = { name: 80, lot: 60, clean: 400, other: 200 };

  // ---- Boxes and ticks
  const boxes = new Map();
  const ticks = [...document.querySelectorAll(".steps input")];
  const shown = (cell) => cell.querySelector(".ink");
  const headOf = (cell) => {
    const row = cell.parentElement.querySelector("th");
    const column = cell.dataset.head || [...cell.closest("table").querySelectorAll("thead > tr > *")][cell.cellIndex].textContent;
    const hold = cell.closest(".hold");
    const whole = row ? say("named", row.textContent, column) : column;
    return hold ? say("named", hold.id, whole) : whole;
  };
  const option = (value, text) => make("option", { value }, text);
  const chooser = (...pairs) => make("select", {}, option("", words.choose), ...pairs.map((pair) => option(...pair)));
  const field = (cell, name) => {
    const what = name.slice(name.lastIndexOf("/") + 1);
    if (what === "decision") return chooser(["accepted", words.accept], ["rejected", words.reject]);
    if (what === "result") return chooser(["accepted", words.accepted], ["rejected", words.rejected], ["not done", words["not-done"]]);
    if (what === "time") return make("input", { type: "datetime-local" });
    const number = what === "amperage" || what === "temperature";
    return make("input", { type: "text", maxlength: MOST[what] || MOST.other, inputmode: number ? "decimal" : "text" });
  };
  let count = 0;
  for (const cell of document.querySelectorAll("[data-box]")) {
    const name = cell.dataset.box;
    if (name === "record/otherwise" || name === "record/signed" || boxes.has(name)) continue;
    const input = field(cell, name);
    const word = make("span", { class: "word-of", id: "word-" + (count += 1) });
    input.setAttribute("aria-label", headOf(cell));
    input.setAttribute("autocomplete", "off");
    input.setAttribute("aria-describedby", word.id);
    cell.append(input, word, make("span", { class: "ink", "aria-hidden": "true" }));
    boxes.set(name, input);
    input.addEventListener("change", () => { settle(name); keep(); });
  }

  // ---- Readings: a unit for a bare number, and the words for what passes a limit
  const READING = /^(-?\d+(?:\.\d+)?) ?(A|°C|°F)$/;
  const unitOf = (what) => {
    if (what === "amperage") return "A";
    if (document.getElementById("units-inch").checked) return "°F";
    return document.getElementById("units-metric").checked ? "°C" : form.degrees;
  };
  const reading = (text, what) => {
    let read = text.replace(/^(-?\d+),(\d+)/, "$1.$2");
    if (/^-?\d+(\.\d+)?$/.test(read)) read += " " + unitOf(what);
    read = read.replace(/ ?(?:amps?|a)$/i, " A").replace(/ ?(?:deg(?:rees)? ?|°|º)?([CF])$/i, (_, unit) => " °" + unit.toUpperCase());
    const parts = READING.exec(read);
    return parts && (parts[2] === "A") === (what === "amperage") ? { text: parts[1] + " " + parts[2], number: Number(parts[1]), unit: parts[2] } : null;
  };
  const verdict = (name, read) => {
    const [, number, what] = name.split("/");
    const pass = form.passes.find((pass) => pass.number === number);
    if (!pass) return ["", ""];
    const passed = pass[what].find((limit) => {
      const at = limit.at.find((at) => at[0] === read.unit);
      return at && (limit.over ? read.number > Number(at[1]) : read.number < Number(at[1]));
    });
    if (passed) return [passed.say, passed.stop ? "stop" : "outside"];
    if (!pass[what].length) return ["", ""];
    return [what === "amperage" ? say("inside", pass.range) : words["inside-limits"], "inside"];
  };
  function settle(name) {
    const input = boxes.get(name);
    const cell = input.closest("[data-box]");
    const word = cell.querySelector(".word-of");
    let told = ["", ""];
    if (/^pass\/\d+\/(amperage|temperature)$/.test(name) && input.value.trim()) {
      const read = reading(clean(input.value), name.slice(name.lastIndexOf("/") + 1));
      if (read) input.value = read.text;
      told = read ? verdict(name, read) : [words["no-number"], "outside"];
    }
    word.textContent = told[0];
    word.dataset.verdict = told[1];
    shown(cell).textContent = input.tagName === "SELECT" ? (input.value ? input.selectedOptions[0].textContent : "") : input.value.replace("T", input.type === "datetime-local" ? " " : "T");
    cell.classList.toggle("filled", input.value !== "");
  }

  // ---- The run: who, when, what was done otherwise, and the buttons
  const labelled = (text, input) => make("label", {}, make("span", {}, text), input);
  const header = {
    date: make("input", { type: "date" }),
    welder: make("input", { type: "text", maxlength: MOST.name }),
    machine: make("input", { type: "text", maxlength: MOST.name }),
    attempt: make("input", { type: "number", min: "1", max: "99", step: "1" }),
  };
  for (const key in header) {
    header[key].setAttribute("autocomplete", "off");
    header[key].addEventListener("change", keep);
  }
  const others = make("div", { class: "others" });
  const addOther = (what, because) => {
    const one = [what, because].map((value, at) => {
      const input = make("input", { type: "text", maxlength: MOST.other, autocomplete: "off" });
      input.value = value || "";
      input.addEventListener("change", keep);
      return labelled(at ? words.because : words.what, input);
    });
    others.append(make("div", { class: "other" }, ...one));
  };
  const button = (key, action) => {
    const element = make("button", { type: "button", id: "run-" + key }, words[key]);
    element.addEventListener("click", action);
    return element;
  };
  const file = make("input", { type: "file", accept: ".toml", id: "run-file", tabindex: "-1", "aria-label": words.load, hidden: "" });
  const run = make("fieldset", { class: "run screen", id: "run" },
    make("legend", {}, words.run),
    labelled(words["run-date"], header.date), labelled(words["run-welder"], header.welder),
    labelled(words["run-machine"], header.machine), labelled(words["run-attempt"], header.attempt),
    others, button("one-more", () => { addOther(); others.lastElementChild.querySelector("input").focus(); }),
    make("div", { class: "tools" }, button("save", save), button("load", () => file.click()), button("print", () => window.print()), button("clear", clear), file));
  const home = document.querySelector(".t-record");
  if (home) {
    home.before(run);
    status.before(make("p", { class: "screen" }, make("a", { href: "#run" }, words["to-run"])));
  }

  // ---- Kept on the device
  const KEY = "sheet " + form.number + " " + form.revision + " " + form.seal;
  const state = () => {
    const all = { boxes: {}, ticks: [], run: {}, others: [] };
    boxes.forEach((input, name) => { if (input.value) all.boxes[name] = input.value; });
    all.ticks = ticks.filter((tick) => tick.checked).map((tick) => tick.closest("li").id);
    for (const key in header) if (header[key].value) all.run[key] = header[key].value;
    for (const one of others.children) {
      const pair = [...one.querySelectorAll("input")].map((input) => clean(input.value));
      if (pair[0] || pair[1]) all.others.push(pair);
    }
    return all;
  };
  const show = (all) => {
    boxes.forEach((input, name) => { input.value = all.boxes[name] || ""; settle(name); });
    for (const tick of ticks) tick.checked = all.ticks.includes(tick.closest("li").id);
    for (const key in header) header[key].value = all.run[key] || "";
    others.replaceChildren();
    for (const pair of all.others) addOther(...pair);
    if (!all.others.length) addOther();
    paper();
  };
  // What the two boxes of the record hold on paper, whose fields stand in the run above them.
  const paper = () => {
    const put = (name, text) => {
      const cell = document.querySelector('[data-box="record/' + name + '"]');
      if (!cell) return;
      if (!shown(cell)) cell.append(make("span", { class: "ink always" }));
      shown(cell).textContent = text;
      cell.classList.toggle("filled", text !== "");
    };
    const all = state();
    put("otherwise", all.others.map((pair) => pair.filter(Boolean).join(": ")).join("; "));
    put("signed", [all.run.welder, all.run.date].filter(Boolean).join(", "));
  };
  const empty = () => ({ boxes: {}, ticks: [], run: form.machine ? { machine: form.machine } : {}, others: [] });
  function keep() {
    paper();
    try {
      localStorage.setItem(KEY, JSON.stringify(state()));
      tell(words.kept);
    } catch {
      tell(words["not-kept-here"]);
    }
  }
  function clear() {
    if (!window.confirm(words["clear-ask"])) return;
    try { localStorage.removeItem(KEY); } catch { /* Nothing was kept. */ }
    show(empty());
    tell(words.cleared);
  }
  for (const tick of ticks) tick.addEventListener("change", keep);

  // ---- The run record
  const name = (form.number + "-" + form.revision).replace(/\//g, "-") + ".run.toml";
  const text = (value) => '"' + clean(value).replace(/["\\]/g, "\\$&") + '"';
  const table = (head, entries) => {
    const lines = entries.filter((entry) => entry[1] !== undefined && entry[1] !== "");
    return [head, ...lines.map(([key, value, bare]) => key + " = " + (bare ? value : text(value)))];
  };
  const tests = () => [...document.querySelectorAll(".t-tests tbody tr")];
  function written() {
    const all = state();
    const box = (name) => all.boxes[name] || "";
    const done = new Set();
    const take = (name) => { done.add(name); return box(name); };
    let lines = ["format = 1"];
    lines = lines.concat(table("[run]", [
      ["procedure", form.number], ["revision", form.revision], ["seal", form.seal],
      ["date", all.run.date, true], ["welder", all.run.welder], ["machine", all.run.machine], ["attempt", all.run.attempt, true],
    ]));
    for (const pass of form.passes) {
      const of = (what) => take("pass/" + pass.number + "/" + what);
      const amps = of("amperage"), part = of("temperature"), note = [of("clean")];
      if (!amps && !part && !note[0]) continue;
      const isRead = (value) => READING.test(value);
      if (amps && !isRead(amps)) note.push(say("read-as", amps));
      if (part && !isRead(part)) note.push(say("read-as", part));
      const lot = clean(take("record/lot"));
      lines = lines.concat(table("[[pass]]", [
        ["number", pass.number, true], ["amperage", isRead(amps) ? amps : ""], ["start_temperature", isRead(part) ? part : ""],
        ["filler", lot ? "{ lot = " + text(lot) + " }" : "", true], ["note", note.filter(Boolean).join("; ").slice(0, 500)],
      ]));
    }
    tests().forEach((row, at) => {
      const result = take("test/" + (at + 1) + "/result");
      if (result) lines = lines.concat(table("[[inspection]]", [
        ["when", row.cells[0].textContent], ["method", row.cells[1].textContent], ["result", result],
      ]));
    });
    const others = all.others.map((pair) => [pair[0] || words.what, pair[1]]);
    for (const hold of document.querySelectorAll(".hold")) {
      const last = [...hold.querySelectorAll("[data-box]")].pop();
      const at = (what) => take(last.dataset.box.replace(/time$/, what));
      const decision = at("decision"), by = at("name"), time = at("time").replace("T", " ");
      if (decision === "accepted") lines = lines.concat(table("[[hold]]", [["id", hold.id], ["released_by", by], ["time", time]]));
      else done.delete(last.dataset.box.replace(/time$/, "name")), done.delete(last.dataset.box);
      if (decision === "rejected") others.push([say("was-rejected", hold.id), ""]);
    }
    for (const [what, because] of others) lines = lines.concat(table("[[deviation]]", [["what", what], ["because", because]]));
    // What the record has no place for: the page reads it back, other readers pass it by.
    for (const key in all.boxes) if (!done.has(key)) lines.push("# box " + JSON.stringify(key) + " " + JSON.stringify(clean(all.boxes[key])));
    for (const id of all.ticks) lines.push("# tick " + JSON.stringify(id));
    return lines.join("\n") + "\n";
  }
  function save() {
    const link = make("a", { download: name, href: URL.createObjectURL(new Blob([written()], { type: "application/toml" })) });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    tell(say("saved", name));
  }

  // ---- Read back: the form that is written above, which is also how a record is typed by hand
  const STRING = /^"((?:[^"\\]|\\.)*)"$/;
  const value = (raw) => {
    const found = STRING.exec(raw);
    return found ? JSON.parse('"' + found[1] + '"') : raw;
  };
  const tables = (source) => {
    const all = [];
    const asides = [];
    let open = {};
    for (const line of source.split(/\r?\n/)) {
      const head = /^\[\[?(\w+)\]\]?\s*$/.exec(line);
      const entry = /^(\w+)\s*=\s*(.*?)\s*(?:#[^"]*)?$/.exec(line);
      const aside = /^# (box|tick) (.*)$/.exec(line);
      if (head) all.push([head[1], open = {}]);
      else if (entry) open[entry[1]] = value(entry[2]);
      else if (aside) asides.push([aside[1], JSON.parse("[" + aside[2].replace(/^("(?:[^"\\]|\\.)*") /, "$1,") + "]")]);
    }
    return [all, asides];
  };
  const readBack = (source) => {
    const [all, asides] = tables(source);
    const entries = (kind) => all.filter((one) => one[0] === kind).map((one) => one[1]);
    const [run] = entries("run");
    if (!run || !run.procedure) return null;
    const found = { boxes: {}, ticks: [], run: {}, others: [] };
    for (const key in header) if (run[key]) found.run[key] = run[key];
    for (const pass of entries("pass")) {
      const put = (what, value) => { if (value) found.boxes["pass/" + pass.number + "/" + what] = value; };
      put("amperage", pass.amperage);
      put("temperature", pass.start_temperature);
      put("clean", pass.note);
      const lot = /\blot\s*=\s*("(?:[^"\\]|\\.)*")/.exec(pass.filler || "");
      if (lot) found.boxes["record/lot"] = value(lot[1]);
    }
    tests().forEach((row, at) => {
      const [when, method] = [row.cells[0].textContent, row.cells[1].textContent];
      const one = entries("inspection").find((one) => one.when === when && one.method === method);
      if (one) found.boxes["test/" + (at + 1) + "/result"] = one.result;
    });
    const rejected = new Map();
    for (const hold of document.querySelectorAll(".hold")) {
      const last = [...hold.querySelectorAll("[data-box]")].pop().dataset.box;
      const one = entries("hold").find((one) => one.id === hold.id);
      const put = (what, value) => { if (value) found.boxes[last.replace(/time$/, what)] = value; };
      rejected.set(say("was-rejected", hold.id), () => put("decision", "rejected"));
      if (!one) continue;
      put("decision", "accepted");
      put("name", one.released_by);
      put("time", (one.time || "").replace(" ", "T"));
    }
    for (const one of entries("deviation")) {
      if (rejected.has(one.what)) rejected.get(one.what)();
      else found.others.push([one.what, one.because || ""]);
    }
    for (const [kind, [key, value]] of asides) {
      if (kind === "tick") found.ticks.push(key);
      else found.boxes[key] = value;
    }
    return { run, found };
  };
  const takeIn = (source, from) => {
    let read = null;
    try { read = readBack(source); } catch { /* Told below. */ }
    if (!read) return tell(say("unreadable", from));
    const { run, found } = read;
    if (run.procedure !== form.number || run.revision !== form.revision) return tell(say("other-sheet", from, run.procedure + " " + (run.revision || "")));
    show(found);
    keep();
    const digits = (seal) => (seal || "").replace(/ /g, "").slice(0, 12);
    tell(say(run.seal && digits(run.seal) !== digits(form.seal) ? "other-seal" : "loaded", from));
  };
  file.addEventListener("change", () => {
    const [chosen] = file.files;
    if (!chosen) return;
    chosen.text().then((source) => takeIn(source, chosen.name), () => tell(say("unreadable", chosen.name))).finally(() => { file.value = ""; });
  });

  // ---- Begin
  document.documentElement.classList.add("scripted");
  let kept = null;
  try {
    kept = JSON.parse(localStorage.getItem(KEY));
    tell(words.kept);
  } catch {
    tell(words["not-kept-here"]);
  }
  show(Object.assign(empty(), kept));
})();
