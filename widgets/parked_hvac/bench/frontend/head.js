// The head of the bench: which order, what the driver said, how long it has taken, and the papers that can be opened.

function draw(view) {
  return [
    h("div", { class: "ph-order" },
      h("p", { class: "ph-title", role: "heading", "aria-level": "2" }, view.fixed.title),
      h("p", { class: "ph-complaint" }, `“${view.fixed.complaint}”`)),
    h("p", { class: "ph-minutes", role: "status" }, h("b", { class: "ph-figure" }, view.minutes), " min on the job"),
    h("div", { class: "ph-row" },
      view.fixed.papers.map(([id, label]) => button(label, { do: "open", panel: id }, { pressed: view.open === id, key: id })),
      h("button", { type: "button", class: "ph-button", ...QUIET, "data-key": "fill", "data-fill": "true" }, "Fill the screen")),
  ];
}

function listen(box) {
  box.addEventListener("click", (event) => {
    if (!event.target.closest("[data-fill]")) return;
    const frame = box.closest(".ph-frame") ?? box;
    const done = document.fullscreenElement ? document.exitFullscreen() : frame.requestFullscreen();
    done?.catch(() => {}); // a browser may refuse; the bench stays as it is
  });
  document.addEventListener("fullscreenchange", () => {
    const filled = Boolean(document.fullscreenElement?.contains(box));
    for (const one of box.querySelectorAll("[data-fill]")) one.textContent = filled ? "Back to the page" : "Fill the screen";
  });
}

export default { render: (context) => mount(context, "head", draw, { listen }) };
