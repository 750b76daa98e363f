// The guide's strip: a hint, then a question, then what the readings mean.

function draw(view) {
  if (view.done) return [];
  return [
    h("p", { class: "ph-guide-text", role: "status", "aria-live": "polite" }, h("b", {}, `Guide, ${view.step}. `), view.text),
    view.choices.length
      ? h("div", { class: "ph-row", role: "group", "aria-label": "Your answer" }, view.choices.map((words, index) =>
          button(words, { do: "answer", answer: index }, { pressed: view.answer === index, key: `answer${index}` })))
      : null,
    view.explanation ? h("p", { class: "ph-guide-explained", role: "status" }, view.verdict ? h("b", {}, `${view.verdict} `) : null, view.explanation) : null,
    view.next ? h("div", { class: "ph-row" }, button(view.next, { do: "guide_on" }, { kind: "main", key: "on" })) : null,
  ];
}

export default { render: (context) => mount(context, "guide", draw) };
