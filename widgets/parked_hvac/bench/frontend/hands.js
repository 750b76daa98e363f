// What hands can do besides the meter: the truck's controls, what the place allows, how one prepares.

const PLOT = { width: 350, height: 52, left: 6, right: 74, top: 6, bottom: 15 };

function line(points, low, high, until_s) {
  const { width, height, left, right, top, bottom } = PLOT;
  return points
    .map(([t, v], i) => {
      const x = left + (t / until_s) * (width - left - right);
      const y = top + (1 - (v - low) / (high - low)) * (height - top - bottom);
      return `${i ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`;
    })
    .join("");
}

/** One quantity over the time just waited. */
function plot(one, until_s) {
  const values = one.points.map(([, v]) => v);
  const middle = (Math.max(...values) + Math.min(...values)) / 2;
  const half = Math.max((Math.max(...values) - Math.min(...values)) / 2, one.least / 2);
  const last = one.points.at(-1)[1];
  return h(
    "figure",
    { class: "ph-plot" },
    s(
      "svg",
      { viewBox: `0 0 ${PLOT.width} ${PLOT.height}`, role: "img", "aria-label": one.spoken },
      s("path", { class: "base", d: `M${PLOT.left} ${PLOT.height - PLOT.bottom}H${PLOT.width - PLOT.right}` }),
      s("path", { class: `curve ${one.kind}`, d: line(one.points, middle - half, middle + half, until_s) }),
      s("text", { x: PLOT.left, y: PLOT.height - 2 }, one.name),
      s("text", { x: PLOT.width - PLOT.right - 4, y: PLOT.height - 2, "text-anchor": "end" }, one.span),
      s("text", { x: PLOT.width - PLOT.right + 4, y: PLOT.top + 11, class: "figure" }, one.first),
      s("text", { x: PLOT.width - PLOT.right + 4, y: PLOT.top + 28, class: "figure strong" }, `→ ${one.last}`),
    ),
  );
}

function stepper(label, shown, down, up) {
  return h(
    "span",
    { class: "ph-stepper", role: "group", "aria-label": label },
    h("span", { class: "ph-soft" }, label),
    button("−", down.message, { key: `${label}-`, spoken: `${label} down`, off: down.off }),
    h("b", { class: "ph-figure", "aria-live": "polite" }, shown),
    button("+", up.message, { key: `${label}+`, spoken: `${label} up`, off: up.off }),
  );
}

function truck(view) {
  const { fixed, truck: now } = view;
  return h(
    "section",
    { "aria-label": "Truck", "data-key": "truck" },
    h("h2", {}, "Truck"),
    h("div", { class: "ph-row" }, h("span", { class: "ph-soft" }, "Key"),
      choice("Key", now.key, fixed.keys, (position) => ({ do: "act", verb: "switch_key", position })),
      // In one piece, so that a narrow window does not leave the word in one line and its switch in the next.
      h("span", { class: "ph-stepper" }, h("span", { class: "ph-soft" }, "Parked cooling"),
        choice("Parked cooling", now.parked, [[false, "off"], [true, "on"]], (on) => ({ do: "act", verb: "switch_parked_cooling", on })))),
    h("div", { class: "ph-row" }, stepper("Blower", String(now.blower), now.blower_down, now.blower_up), stepper("Set", now.set, now.set_down, now.set_up)),
    h("div", { class: "ph-row" }, h("span", { class: "ph-soft" }, "Wait"),
      h("span", { class: "ph-choice", role: "group", "aria-label": "Wait" }, fixed.waits.map(([seconds, label]) => button(label, { do: "act", verb: "wait", seconds }, { key: `wait${seconds}`, spoken: `Wait ${label}` })))),
    view.moved ? h("div", { class: "ph-moved", "data-key": "moved" }, h("p", { class: "ph-soft" }, view.moved.title), view.moved.series.map((one) => plot(one, view.moved.until_s))) : null,
  );
}

function here(view) {
  return h(
    "section",
    { "aria-label": `Here you can also: ${view.place}`, "data-key": "here" },
    h("h2", {}, `Here you can also · ${view.place}`),
    h("div", { class: "ph-row" }, view.here.buttons.map(([label, message, spoken]) => button(label, { do: "act", ...message }, { spoken, key: JSON.stringify(message), kind: "ph-small" }))),
    view.shut ? h("p", { class: "ph-soft" }, view.shut) : null,
    view.here.pickers.map(([key, label, options, go]) => picker(key, label, options.map(([text, message]) => [text, { do: "act", ...message }]), go)),
  );
}

function before(view) {
  return h(
    "section",
    { "aria-label": "Before you start", "data-key": "before" },
    // Heading and buttons in one flow: a line less, and the truck's controls stay in sight on a small screen.
    h("div", { class: "ph-row" }, h("h2", {}, "Before you start"), view.prepare.map(([step, label, cost, done]) =>
      button(done ? `✓ ${label}` : `${label} (${cost})`, { do: "act", verb: "prepare", step }, { key: step, pressed: done, off: done ? "Done already." : null, kind: "ph-small" }))),
  );
}

// Preparation first: it comes first at the job, and what stands last here may lie below the edge of a small screen.
const draw = (view) => [before(view), truck(view), here(view)];

export default { render: (context) => mount(context, "hands", draw) };
