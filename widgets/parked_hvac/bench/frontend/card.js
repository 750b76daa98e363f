// The job card: each reading with minute, state, display and the learner's verdict; below it the way to the end of the job.

function row(view, one) {
  const open = one.verdict === null;
  return h(
    "tr",
    { "data-key": one.id, class: open ? "unjudged" : "" },
    h("th", { scope: "row" }, String(one.number)),
    h("td", { class: "ph-figure" }, one.minute),
    h("td", {}, one.label, h("span", { class: "ph-soft" }, ` · ${one.state}`)),
    h("td", { class: `ph-figure reading${one.display.length > 24 ? "" : " short"}` }, one.display),
    h("td", { class: "verdict" }, choice(`Verdict on reading ${one.number}`, one.verdict, view.fixed.verdicts, (verdict) => ({ do: "act", verb: "judge", reading: one.id, verdict })),
      open ? h("span", { class: "ph-judge" }, " ←", h("span", { class: "ph-next-word" }, " judge it")) : null),
  );
}

function draw(view) {
  return [
    h("div", { class: "ph-row ph-end" },
      h("h2", {}, "Job card"),
      view.ways.map(([label, panel, off]) => button(label, { do: "open", panel }, { key: panel, off })),
      h("span", { class: "ph-saved ph-soft", role: "status" }, view.saved)),
    h("div", { class: `ph-scroll${view.fixed.left ? " ph-left" : ""}`, tabindex: "0", role: "region", "aria-label": "Readings on the job card", ...QUIET },
      view.readings.length
        ? h("table", {},
            h("thead", {}, h("tr", {}, ["#", "min", "what, and in which state", "reading", "your verdict"].map((word) => h("th", { scope: "col" }, word)))),
            h("tbody", {}, view.readings.map((one) => row(view, one))))
        : h("p", { class: "ph-soft ph-empty" }, "No reading yet. Place the leads, see the display, then write it on the card.")),
  ];
}

/** A new reading comes into sight; a colleague's card shows all of them anyway. */
function after(box, view, local) {
  const list = box.querySelector(".ph-scroll");
  if (local.count !== view.readings.length) list.scrollTop = list.scrollHeight;
  local.count = view.readings.length;
}

export default { render: (context) => mount(context, "card", draw, { after }) };
