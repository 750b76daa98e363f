// What opens over the picture: papers to read, the list of causes, the repair, the write-up, the debrief.

function table(one) {
  return h("div", { class: "ph-scroll", tabindex: "0", role: "region", "aria-label": one.caption, ...QUIET }, h("table", {},
    h("caption", {}, one.caption),
    h("thead", {}, h("tr", {}, one.head.map((word) => h("th", { scope: "col" }, word)))),
    h("tbody", {}, one.rows.map((cells) => h("tr", {}, cells.map((cell) => h("td", {}, cell)))))));
}

/** A paper: headings, paragraphs, lists and tables. */
function paper(view) {
  return view.blocks.map((block) => [
    block.heading ? h("h3", {}, block.heading) : null,
    (block.paragraphs ?? []).map((words) => h("p", {}, words)),
    block.list ? h("ul", {}, block.list.map((words) => h("li", {}, words))) : null,
    block.table ? table(block.table) : null,
  ]);
}

function matches(one, wanted) {
  const words = `${one.title} ${one.component} ${one.family}`.toLowerCase();
  return wanted.toLowerCase().split(/\s+/).every((word) => words.includes(word));
}

/** Every cause of the catalogue by family, narrowed by a search text; one is picked and named. */
function causes(view, local) {
  const found = view.fixed.causes.filter((one) => matches(one, local.search ?? ""));
  const families = [...new Set(found.map((one) => one.family))];
  const { first, picked } = chosen(view, local);
  const both = [...new Set([first, picked])].filter(Boolean);
  return [
    h("p", {}, view.question),
    view.caution ? h("p", { class: "ph-caution", role: "note" }, h("b", {}, "Caution "), view.caution) : null,
    h("label", { class: "ph-field" }, h("span", {}, "Search by part or word"),
      h("input", { ...QUIET, type: "search", "data-search": "true", "data-key": "search", autocomplete: "off" })),
    h("p", { class: "ph-soft", role: "status" }, `${found.length} of ${view.fixed.causes.length} shown`),
    h("div", { class: "ph-causes" }, families.map((family) =>
      h("fieldset", { "data-key": `family:${family}` }, h("legend", {}, family),
        found.filter((one) => one.family === family).map((one) =>
          h("label", { "data-key": `cause:${one.id}` },
            h("input", { ...QUIET, type: "radio", name: `ph-cause-${local.id}`, value: one.id, "data-cause": one.id, "data-checked": String(one.id === picked) }),
            h("span", {}, one.title), one.component ? h("span", { class: "ph-soft" }, ` ${one.component}`) : null))))),
    h("div", { class: "ph-row ph-foot" },
      button([view.go, both.map((id) => title(view, id)).join(" and ")].filter(Boolean).join(": "), { do: "act", verb: view.verb, [view.argument]: both.join(view.and) }, {
        kind: "main", key: "go", off: both.length ? null : "Pick one from the list first.",
      }),
      view.and && picked && !first ? h("button", { type: "button", class: "ph-button", ...QUIET, "data-key": "second", "data-second": picked }, "Add a second cause …") : null,
      first ? h("button", { type: "button", class: "ph-button", ...QUIET, "data-key": "only", "data-second": "" }, "Only one cause") : null,
      first && !picked ? h("span", { role: "status" }, "Now pick the second cause.") : null,
      view.note ? h("span", { class: "ph-soft" }, view.note) : null),
  ];
}

/** The causes picked here, or else those on the card: a first one only where there are two. */
function chosen(view, local) {
  const kept = (view.chosen ?? "").split(view.and).filter(Boolean);
  return {
    first: local.first === undefined ? kept.at(-2) ?? null : local.first,
    picked: local.picked === undefined ? kept.at(-1) ?? null : local.picked,
  };
}

function title(view, id) {
  return view.fixed.causes.find((one) => one.id === id)?.title ?? id;
}

function writing(view) {
  return [
    h("p", {}, view.question),
    view.fields.map(([name, label, hint]) =>
      h("label", { class: "ph-field" }, h("span", {}, label), h("span", { class: "ph-soft" }, hint),
        h("textarea", { ...QUIET, rows: "3", maxlength: "2000", "data-field": name, "data-key": `field:${name}` }))),
    h("div", { class: "ph-row ph-foot" },
      h("button", { type: "button", class: "ph-button main", ...QUIET, "data-key": "keep", "data-keep": "true" }, "Keep it on the card"),
      h("span", { class: "ph-soft", role: "status" }, view.note)),
  ];
}

function scores(view) {
  return [
    h("p", { class: "ph-verdict" }, view.summary),
    h("div", { class: "ph-parts" }, view.parts.map((one) =>
      h("div", { class: "ph-part-score" },
        h("span", { class: "name" }, one.title),
        h("span", { class: "bar", "aria-hidden": "true" }, h("span", { style: `width:${(100 * one.points) / one.maximum}%` })),
        h("b", { class: "ph-figure" }, one.shown)))),
    view.plot ? h("figure", { class: "ph-figure-plot", "data-plot": view.plot.svg }, h("figcaption", {}, view.plot.words)) : null,
    paper(view),
  ];
}

const KINDS = { paper, causes, writing, debrief: scores };

function draw(view, local) {
  local.id ??= Math.random().toString(36).slice(2, 8);
  // What was picked or searched in one panel means nothing in the next.
  if (view.open !== local.shown) Object.assign(local, { shown: view.open, first: undefined, picked: undefined, search: "" });
  if (!view.open) return [];
  return [
    h("div", { class: "ph-panel-head", "data-key": `head:${view.open}` },
      h("h2", { tabindex: "-1", "data-heading": view.open, ...QUIET }, view.title),
      button("Close", { do: "open", panel: null }, { key: "close", spoken: `Close ${view.title}` })),
    view.refused ? h("p", { class: "ph-message refused", role: "alert" }, h("b", {}, "Not done. "), view.refused) : null,
    h("div", { class: `ph-panel-body ${view.kind}`, "data-key": `body:${view.open}`, ...(view.kind === "paper" || view.kind === "debrief" ? { tabindex: "0", role: "region", "aria-label": view.title, ...QUIET } : {}) }, KINDS[view.kind](view, local)),
  ];
}

function listen(box, { send, redraw, local, view }) {
  box.addEventListener("input", (event) => {
    if (!event.target.dataset.search) return;
    local.search = event.target.value;
    redraw();
  });
  box.addEventListener("change", (event) => {
    if (!event.target.dataset.cause) return;
    local.picked = event.target.value;
    redraw();
  });
  box.addEventListener("click", (event) => {
    const second = event.target.closest("[data-second]");
    if (!second) return;
    const { first, picked } = chosen(view(), local);
    local.first = second.dataset.second || null;
    local.picked = local.first ? null : picked ?? first;
    redraw();
  });
  box.addEventListener("click", (event) => {
    if (!event.target.closest("[data-keep]")) return;
    const texts = {};
    for (const field of box.querySelectorAll("[data-field]")) texts[field.dataset.field] = field.value;
    send({ do: "act", verb: "write_up", ...texts });
  });
  box.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    event.stopPropagation();
    send({ do: "open", panel: null });
  });
}

/** Focus goes to the panel's heading when it opens and back to where it was when it closes. */
function after(box, view, local) {
  const root = box.getRootNode();
  box.parentElement.classList.toggle("open", Boolean(view.open));
  for (const one of box.querySelectorAll("[data-checked]")) one.checked = one.dataset.checked === "true";
  for (const one of box.querySelectorAll("[data-plot]")) picture(one);
  if (view.open === local.open) return;
  if (view.open) {
    if (!local.open) local.from = root.activeElement;
    for (const field of box.querySelectorAll("[data-field]")) field.value = view.texts?.[field.dataset.field] ?? "";
    if (local.drawn) box.querySelector("[data-heading]")?.focus();
  } else if (local.from?.isConnected) local.from.focus();
  local.open = view.open;
  local.drawn = true;
}

/** The plot is an SVG that the bench itself made; it is parsed as an image's source, not as part of the page. */
function picture(figure) {
  const source = figure.dataset.plot;
  if (figure.querySelector("svg")) return;
  const drawn = new DOMParser().parseFromString(source, "image/svg+xml").documentElement;
  figure.prepend(document.importNode(drawn, true));
}

export default { render: (context) => mount(context, "panel", draw, { listen, after }) };
