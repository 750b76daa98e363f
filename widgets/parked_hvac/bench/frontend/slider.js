// A slider with its name before it and its figure behind it.

function render({ model, el }) {
  const { words, least, most, step } = model.get("fixed");
  el.classList.add("ph", "ph-slider");
  const figure = h("span", { class: "ph-figure", "aria-hidden": "true" });
  const range = h("input", { ...QUIET, type: "range", min: least, max: most, step, "aria-label": words });
  const draw = () => {
    range.value = model.get("value");
    figure.textContent = range.value;
  };
  range.addEventListener("input", () => { figure.textContent = range.value; });
  range.addEventListener("change", () => {
    model.set("value", Number(range.value));
    model.save_changes();
  });
  model.on("change:value", draw);
  el.append(h("span", { "aria-hidden": "true" }, words), range, figure);
  draw();
  return () => model.off("change:value", draw);
}

export default { render };
