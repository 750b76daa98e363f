// The meter: display, functions, hold, leads, and the button that writes a reading down.

function display(view) {
  const [, number, unit] = /^(.*?)(?: ([^ ]+))?$/.exec(view.display);
  const plain = /\d/.test(number);
  return h(
    "div",
    { class: "ph-display" },
    h("span", { class: "ph-display-note" }, view.note),
    h("output", { class: "ph-display-figure", role: "status", "aria-live": "polite", "aria-label": view.spoken }, h("span", { class: plain ? "number" : "words" }, plain ? number : view.display), plain ? h("span", { class: "unit" }, ` ${unit ?? ""}`) : null),
  );
}

function lead(view, local, colour) {
  const letter = colour === "red" ? "R" : "B";
  return h(
    "div",
    { class: "ph-lead" },
    button([h("b", { class: `ph-letter ${colour}` }, letter), h("span", { class: "ph-next-word" }, ` ${colour}`)], { do: "select_lead", lead: colour }, {
      pressed: view.next === colour,
      key: `next:${colour}`,
      kind: "ph-next",
      spoken: `The next click in the picture places the ${colour} lead`,
    }),
    h("input", {
      ...QUIET,
      type: "text",
      list: `ph-terminals-${local.id}`,
      "data-lead": colour,
      "data-key": `input:${colour}`,
      "aria-label": `Terminal of the ${colour} lead; type its name`,
      placeholder: "terminal",
      spellcheck: "false",
      autocomplete: "off",
    }),
  );
}

function draw(view, local) {
  local.id ??= Math.random().toString(36).slice(2, 8);
  const { functions, holds, terminals } = view.fixed;
  return [
    h("h2", {}, "Meter"),
    display(view),
    choice("Function", view.function, functions, (value) => ({ do: "set_function", function: value })),
    h("div", { class: "ph-row" }, h("span", { class: "ph-soft" }, "Show"), choice("Hold", view.hold, holds, (value) => ({ do: "act", verb: "hold", mode: value }))),
    h("div", { class: "ph-leads" }, lead(view, local, "red"), lead(view, local, "black")),
    button(view.write, { do: "write" }, { kind: "main ph-wide", key: "write", off: view.ready ? null : "Place both leads first." }),
    h("div", { class: "ph-row" }, view.tools.map(([label, verb, spoken]) => button(label, { do: "act", verb }, { spoken, key: verb }))),
    h("datalist", { id: `ph-terminals-${local.id}` }, terminals.map(([name, label]) => h("option", { value: name }, label))),
  ];
}

function listen(box, { send, view }) {
  function put(field) {
    const terminal = field.value.trim();
    if (terminal !== (view().leads[field.dataset.lead] ?? "")) send({ do: "touch", terminal, lead: field.dataset.lead });
    field.dataset.asked = terminal;
  }
  // The list of suggestions may swallow the change that Enter brings, so both are heard.
  box.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.dataset.lead) return;
    event.stopPropagation();
    put(event.target);
  });
  box.addEventListener("change", (event) => {
    if (event.target.dataset.lead && event.target.dataset.asked !== event.target.value.trim()) put(event.target);
  });
}

/** The fields follow the leads, except the one being typed into. */
function after(box, view) {
  for (const field of box.querySelectorAll("input[data-lead]")) {
    if (field.ownerDocument.activeElement !== field || field.dataset.shown !== (view.leads[field.dataset.lead] ?? "")) {
      field.value = view.leads[field.dataset.lead] ?? "";
      field.dataset.shown = field.value;
    }
  }
}

export default { render: (context) => mount(context, "meter", draw, { listen, after }) };
