// Check-yourself items: text, answer, and at once what it means.

function answer(one, index) {
  if (one.choices.length) {
    return h("div", { class: "ph-row", role: "group", "aria-label": `Answers to item ${index + 1}` },
      one.choices.map((words) => button(words, { do: "answer", item: index, given: words }, { pressed: one.given === words, key: `${index}:${words}` })));
  }
  return h("div", { class: "ph-row" },
    h("input", { ...QUIET, type: "text", inputmode: "decimal", "data-item": String(index), "data-key": `n${index}`, "aria-label": `Answer to item ${index + 1}${one.unit ? ` in ${one.unit}` : ""}`, autocomplete: "off" }),
    h("span", {}, one.unit),
    h("button", { type: "button", class: "ph-button", ...QUIET, "data-check": String(index), "data-key": `c${index}` }, one.graded ? "Keep it" : "Check it"));
}

function told(one) {
  return h("div", { class: "ph-item-told", role: "status", "aria-live": "polite" },
    one.refused ? h("p", { class: "ph-item-no" }, h("b", {}, "Not taken. "), one.refused) : null,
    one.right === undefined ? null : h("p", { class: one.right ? "ph-item-yes" : "ph-item-no" }, h("b", {}, one.right ? "✓ Right. " : "✗ Not yet. "), one.explanation),
    one.kept ? h("p", { class: "ph-soft" }, one.kept) : null);
}

const draw = (view) => [
  h("ol", { class: "ph-items" }, view.items.map((one, index) => h("li", { "data-key": `item${index}` }, h("p", {}, one.text), answer(one, index), told(one)))),
];

function listen(box, { send }) {
  const give = (index) => send({ do: "answer", item: Number(index), given: box.querySelector(`[data-item="${index}"]`).value });
  box.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-check]");
    if (pressed) give(pressed.dataset.check);
  });
  box.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.dataset.item) return;
    event.preventDefault();
    event.stopPropagation();
    give(event.target.dataset.item);
  });
}

function after(box, view) {
  for (const field of box.querySelectorAll("input[data-item]")) if (!field.value) field.value = view.items[Number(field.dataset.item)].given;
}

export default { render: (context) => mount(context, "items-panel", draw, { listen, after }) };
