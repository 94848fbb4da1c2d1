"""The plain script that the pace of the program is compared with: what one would write without it.

It reads each spec with a TOML parser, fills a template with a template engine, turns the Markdown into HTML with a
Markdown renderer, and writes Markdown, HTML and JSON by temporary file and rename. It works nothing out: the texts and
figures of each sheet are given to it, read from the JSON that the program wrote, before the clock starts. So its time is
that of the documents alone, and the engine of the program comes on top of the program's side only.

    python3 benches/plain.py SPECS MODELS OUT

prints the microseconds a spec. It needs jinja2 and markdown-it-py.
"""

import json
import os
import sys
import tempfile
import time
import tomllib
from pathlib import Path

import jinja2
from markdown_it import MarkdownIt

TEMPLATE = """\
{%- macro cell(c) %}{{ c.text | md }}{% if c.basis %} {{ c.basis }}{% endif %}{% for s in c.sources or [] %} [^{{ s }}]{% endfor %}{% endmacro -%}
{%- macro caution(c) %}> **{{ c.signal }}: {{ c.title | md }}.** {{ c.hurts | md }} {{ c.action | md }}{% for s in c.sources %} [^{{ s }}]{% endfor %}
{% endmacro -%}
# {{ identity.number }} rev {{ identity.revision }}: {{ identity.title | md }}

**{{ identity.banner }}.** {{ identity.meaning | md }}
{% for section in sections %}
## {{ section.id }} {{ section.title | md }}
{% if section.not_required %}
{{ section.not_required | md }}
{% endif %}
{%- for block in section.blocks %}
{%- if block.kind == "text" %}
{% if block.lead %}**{{ block.lead | md }}** {% endif %}{{ cell(block) }}
{% elif block.kind == "prose" %}
{{ block.markdown }}
{% elif block.kind == "table" %}
**{{ block.caption | md }}**

|{% for head in block.head %} {{ head | md }} |{% endfor %}
|{% for head in block.head %} --- |{% endfor %}
{% for row in block.rows %}|{% for c in row %} {{ cell(c) }} |{% endfor %}
{% endfor %}
{%- elif block.kind == "caution" %}
{{ caution(by_id["caution"][section.id ~ block.id]) }}
{%- elif block.kind == "step" %}
{%- set step = by_id["step"][block.id] %}
- [ ] **{{ step.id }}** {{ cell(step) }}
{%- elif block.kind == "hold" %}
{%- set hold = by_id["hold"][block.id] %}

| HOLD `{{ hold.id }}` |{% for box in hold.boxes %} {{ box | md }} |{% endfor %}
| --- |{% for box in hold.boxes %} --- |{% endfor %}
{% for row in hold.rows or [hold.criterion.text] %}| {{ row | md }} |{% for box in hold.boxes %} |{% endfor %}
{% endfor %}
{%- elif block.kind == "list" %}
{% for item in block["items"] %}* {{ cell(item) }}
{% endfor %}
{%- elif block.kind == "alert" %}
> **{{ block.title | md }}**
>
{% for item in block["items"] %}> - {{ cell(item) }}
{% endfor %}
{%- endif %}
{%- endfor %}
{%- endfor %}
{% for source in sources %}[^{{ source.id }}]: {{ source.title | md }}, {{ source.locator | md }}
{% endfor -%}
"""

PAGE = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>%s</title><style>%s</style></head>
<body>
%s
<script type="application/toml" id="spec">%s</script>
<script type="application/json" id="sheet">%s</script>
</body>
</html>
"""

ESCAPES = str.maketrans({char: "\\" + char for char in "\\`*_[]<>|"})


def write(path, text):
    """Writes a file by way of a temporary one, as the program does."""
    descriptor, name = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(descriptor, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)
    os.replace(name, path)


def main():
    specs, models, out = map(Path, sys.argv[1:4])
    paths = sorted(specs.glob("*.repair.toml"))
    stems = [path.name.removesuffix(".repair.toml") for path in paths]
    given = [json.loads((models / f"{stem}.json").read_text("utf-8")) for stem in stems]
    css = (Path(__file__).parent.parent / "templates" / "sheet.css").read_text("utf-8")
    environment = jinja2.Environment(autoescape=False, undefined=jinja2.ChainableUndefined)
    environment.filters["md"] = lambda text: str(text).translate(ESCAPES)
    template = environment.from_string(TEMPLATE)
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    out.mkdir(parents=True, exist_ok=True)
    start = time.perf_counter()
    for path, stem, model in zip(paths, stems, given):
        text = path.read_text("utf-8")
        tomllib.loads(text)
        by_id = {
            "caution": {caution["section"] + caution["id"]: caution for caution in model["cautions"]},
            "step": {step["id"]: step for section in model["sections"] for step in section["steps"]},
            "hold": {hold["id"]: hold for hold in model["holds"]},
        }
        sheet = template.render(**model, by_id=by_id)
        data = json.dumps(model, indent=1, ensure_ascii=False) + "\n"
        embedded = data.replace("</", "<\\/")
        page = PAGE % (model["identity"]["title"], css, markdown.render(sheet), text.replace("</", "<\\/"), embedded)
        write(out / f"{stem}.md", sheet)
        write(out / f"{stem}.html", page)
        write(out / f"{stem}.json", data)
    print(f"{(time.perf_counter() - start) / max(len(paths), 1) * 1e6:.1f}")


if __name__ == "__main__":
    main()
