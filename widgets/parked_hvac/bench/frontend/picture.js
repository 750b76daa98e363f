// The picture of one location: wiring, terminals, leads; tabs above it, cautions and messages below it.

const SIDES = { n: [0, -13, "middle"], s: [0, 22, "middle"], e: [13, 4, "start"], w: [-13, 4, "end"] };

function at(drawing, point) {
  if (typeof point !== "string") return point;
  const place = drawing.terminals[point];
  return [place.x, place.y];
}

function path(points) {
  return points.map(([x, y], i) => `${i ? "L" : "M"}${x} ${y}`).join("");
}

/** Middle of the longest leg of a route: where its number stands unless the drawing says otherwise. */
function middle(points) {
  let best = [points[0], 0];
  for (let i = 1; i < points.length; i++) {
    const [[a, b], [c, d]] = [points[i - 1], points[i]];
    const length = Math.hypot(c - a, d - b);
    if (length > best[1]) best = [[(a + c) / 2, (b + d) / 2], length];
  }
  return best[0];
}

function words(text, x, y, kind, anchor = "start") {
  return text
    .split("\n")
    .map((line, i) => s("text", { x, y: y + i * 14, class: kind, "text-anchor": anchor }, line));
}

function cable(drawing, one) {
  const points = one.route.map((point) => at(drawing, point));
  const [x, y] = one.tag ?? middle(points);
  return s(
    "g",
    { class: `ph-cable ${one.kind}` },
    s("path", { d: path(points), "stroke-width": one.weight }),
    one.name ? s("text", { x, y: y + 4, class: "tag", "text-anchor": "middle" }, one.name) : null,
  );
}

function link(drawing, one, view) {
  const points = one.route.map((point) => at(drawing, point));
  const parted = one.connector && view.parted.includes(one.connector);
  const [x, y] = one.tag ?? middle(points);
  return s(
    "g",
    { class: `ph-link ${one.kind} ${parted ? "parted" : ""}` },
    s("path", { d: path(points), "stroke-width": one.weight }),
    one.connector && !parted ? joint(x, y) : null,
    parted
      ? [
          s("rect", { x: x - 8, y: y - 8, width: 16, height: 16, class: "gap" }),
          s("text", { x, y: y + 4, class: "word", "text-anchor": "middle" }, "⁄⁄"),
        ]
      : null,
  );
}

/** The place where a lug or plug comes apart by hand. */
function joint(x, y) {
  return s("rect", { x: x - 4, y: y - 4, width: 8, height: 8, class: "joint", transform: `rotate(45 ${x} ${y})` });
}

function fuse(drawing, one, view) {
  const [[ax, ay], [bx, by]] = [at(drawing, `${one.name}.1`), at(drawing, `${one.name}.2`)];
  const [x, y] = [(ax + bx) / 2, (ay + by) / 2];
  const pulled = view.pulled.includes(one.name);
  const upright = ax === bx;
  const size = upright ? [14, 26] : [26, 14];
  const [dx, dy, anchor] = one.label_at ?? [0, -14, "middle"];
  return s(
    "g",
    { class: `ph-fuse ${pulled ? "pulled" : ""}` },
    s("path", { d: path([[ax, ay], [bx, by]]), class: "holder" }),
    s("rect", { x: x - size[0] / 2, y: y - size[1] / 2, width: size[0], height: size[1], rx: 2, class: "body" }),
    pulled ? null : s("path", { d: path([[ax, ay], [bx, by]]), class: "wire" }),
    words(one.name + (pulled ? " pulled" : one.text ? ` ${one.text}` : ""), x + dx, y + dy, "name", anchor),
  );
}

function relay(drawing, name) {
  const [p30, p87, p86, p85] = ["30", "87", "86", "85"].map((n) => at(drawing, `${name}.${n}`));
  const [cx, cy] = [(p86[0] + p85[0]) / 2, p86[1]];
  const [kx, ky] = [(p30[0] + p87[0]) / 2, p30[1]];
  return s(
    "g",
    { class: "ph-relay" },
    s("path", { d: path([p86, [cx - 10, cy]]) + path([[cx + 10, cy], p85]) }),
    s("rect", { x: cx - 10, y: cy - 6, width: 20, height: 12 }),
    s("path", { d: path([p30, [kx - 11, ky], [kx + 9, ky - 9]]) + path([[kx + 11, ky], p87]) }),
    s("path", { d: path([[cx, cy - 6], [cx, ky - 4]]), class: "dash" }),
  );
}

const SYMBOLS = {
  motor: (x, y) => [s("circle", { cx: x, cy: y, r: 18 }), ...words("M", x, y + 5, "name", "middle")],
  generator: (x, y) => [s("circle", { cx: x, cy: y, r: 34 }), ...words("G", x, y + 5, "name", "middle")],
  lamp: (x, y) => s("g", {}, s("circle", { cx: x, cy: y, r: 13 }), s("path", { d: cross(x, y, 9) })),
  thermistor: (x, y) =>
    s("g", {}, s("rect", { x: x - 16, y: y - 7, width: 32, height: 14 }), s("path", { d: path([[x - 18, y + 13], [x - 10, y + 13], [x + 14, y - 13]]) })),
  resistor: (x, y) => s("rect", { x: x - 16, y: y - 6, width: 32, height: 12 }),
  switch: (x, y) => s("path", { d: path([[x - 20, y], [x - 10, y], [x + 10, y - 10]]) + path([[x + 12, y], [x + 20, y]]) }),
  ground: (x, y) => s("path", { d: path([[x - 9, y], [x + 9, y]]) + path([[x - 6, y + 4], [x + 6, y + 4]]) + path([[x - 3, y + 8], [x + 3, y + 8]]) }),
  frame: (x, y) => s("path", { d: path([[x - 18, y], [x + 18, y]]) + [-18, -9, 0, 9].map((d) => path([[x + d + 8, y], [x + d, y + 9]])).join("") }),
  arrow: (x, y) => s("path", { d: path([[x - 6, y - 5], [x, y], [x - 6, y + 5]]) }),
  back: (x, y) => s("path", { d: path([[x + 6, y - 5], [x, y], [x + 6, y + 5]]) }),
  dot: (x, y) => s("circle", { cx: x, cy: y, r: 3, class: "dot" }),
};
function cross(x, y, r) {
  return path([[x - r, y - r], [x + r, y + r]]) + path([[x - r, y + r], [x + r, y - r]]);
}

function part(one) {
  return s(
    "g",
    { class: `ph-part ${one.kind}` },
    s("rect", { x: one.x, y: one.y, width: one.w, height: one.h, rx: one.kind === "bar" ? 2 : 6 }),
    one.name ? words(one.name, ...(one.name_at ?? [one.x + 8, one.y + 17]), "name", one.anchor) : null,
    one.text ? words(one.text, ...(one.text_at ?? [one.x + 8, one.y + 32]), "word", one.anchor) : null,
  );
}

/** A terminal as lessons and card write it: data have a hyphen where people read a minus sign. */
function spelt(name) {
  return name.replace(/-$/, "−");
}

function leadWords(view, name) {
  const here = ["red", "black"].filter((lead) => view.leads[lead] === name);
  return here.length ? `, ${here.join(" and ")} lead on it` : "";
}

function terminal(drawing, name, view, local) {
  const place = drawing.terminals[name];
  const [dx, dy, anchor] = SIDES[place.side] ?? SIDES.n;
  const covered = view.covered.includes(name);
  const mark = place.side === "none" ? null : s("text", { x: place.x + dx, y: place.y + dy, class: "mark", "text-anchor": anchor }, place.mark ?? name);
  if (covered) return s("g", { class: "ph-terminal covered", "aria-hidden": "true" }, s("circle", { cx: place.x, cy: place.y, r: 6 }), mark);
  return s(
    "g",
    {
      class: "ph-terminal",
      role: "button",
      ...QUIET,
      tabindex: local.focus === name ? "0" : "-1",
      "data-key": `t:${name}`,
      "data-terminal": name,
      "data-send": JSON.stringify({ do: "touch", terminal: name }),
      "aria-label": `${spelt(name)}: ${view.fixed.labels[name]}${leadWords(view, name)}`,
    },
    s("circle", { cx: place.x, cy: place.y, r: 11, class: "reach" }),
    s("circle", { cx: place.x, cy: place.y, r: 10, class: "ring" }),
    s("circle", { cx: place.x, cy: place.y, r: 6.5, class: "post" }),
    mark,
    s("title", {}, `${name}: ${view.fixed.labels[name]}`),
  );
}

function flag(drawing, lead, name, alone) {
  const place = drawing.terminals[name];
  if (!place) return null;
  // Away from the name of a fuse, which stands between its terminals.
  const outward = { ".1": -1, ".2": 1 }[name.slice(-2)];
  const side = (alone && outward) || (lead === "red" ? -1 : 1);
  const low = place.side === "n" || place.y < 46 ? 1 : -1; // keep off the terminal's own mark
  const [x, y] = [place.x + side * 16, place.y + low * 30];
  return s(
    "g",
    { class: `ph-flag ${lead}`, "aria-hidden": "true", "data-lead": lead, "data-at": name },
    s("path", { d: path([[place.x, place.y], [x, y]]) }),
    s("circle", { cx: place.x, cy: place.y, r: 4 }),
    s("rect", { x: x - 11, y: y - 10, width: 22, height: 19, rx: 3 }),
    s("text", { x, y: y + 4.5, "text-anchor": "middle" }, lead === "red" ? "R" : "B"),
  );
}

function lid(one, view) {
  const cover = view.covers[one.cover];
  if (!cover || cover.open) return null;
  return s(
    "g",
    { class: "ph-lid" },
    s("rect", { x: one.x, y: one.y, width: one.w, height: one.h, rx: 8, fill: "url(#ph-hatch)" }),
    s("text", { x: one.x + one.w / 2, y: one.y + one.h / 2 - 24, class: "shut", "text-anchor": "middle" }, `The ${cover.label} is on.`),
  );
}

function sheet(drawing, view, local) {
  const names = Object.keys(drawing.terminals);
  const free = names.filter((name) => !view.covered.includes(name));
  if (!free.includes(local.focus)) local.focus = free[0];
  const [width, height] = drawing.size;
  return s(
    "svg",
    {
      class: "ph-drawing",
      style: `--tall:${height}`,
      viewBox: `0 0 ${width} ${height}`,
      role: "group",
      "data-location": view.location,
      "aria-label": `${drawing.title}. ${drawing.description} ${free.length} of ${names.length} terminals within reach. Arrow keys move between terminals, R and B place the leads.`,
    },
    s("defs", {}, s("pattern", { id: "ph-hatch", width: 10, height: 10, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      s("rect", { width: 10, height: 10, class: "hatch-ground" }), s("path", { d: "M0 0V10", class: "hatch-line" }))),
    drawing.enclosure.map((one) => s("g", { class: `ph-enclosure ${view.covers[one.cover]?.open ? "open" : ""}` },
      s("rect", { x: one.x, y: one.y, width: one.w, height: one.h, rx: 8 }),
      words(one.label + (view.covers[one.cover]?.open ? ", lid off" : ""), one.x + 10, one.y + 18, "word"))),
    drawing.part.map(part),
    drawing.cable.map((one) => cable(drawing, one)),
    drawing.link.map((one) => link(drawing, one, view)),
    drawing.fuse.map((one) => fuse(drawing, one, view)),
    drawing.relay.map((name) => relay(drawing, name)),
    drawing.symbol.map((one) => s("g", { class: "ph-symbol" }, SYMBOLS[one.kind](one.x, one.y))),
    drawing.text.map((one) => words(one.text, one.x, one.y, one.kind ?? "word", one.anchor)),
    names.map((name) => terminal(drawing, name, view, local)),
    drawing.enclosure.map((one) => lid(one, view)),
    ["red", "black"].map((lead) => (view.leads[lead] && !view.covered.includes(view.leads[lead]) ? flag(drawing, lead, view.leads[lead], view.leads.red !== view.leads.black) : null)),
  );
}

/** Buttons to take lids off, standing on the lids. */
function lidButtons(drawing, view) {
  return drawing.enclosure
    .filter((one) => view.covers[one.cover] && !view.covers[one.cover].open)
    .map((one) =>
      h(
        "div",
        { class: "ph-lid-button", style: `left:${(100 * (one.x + one.w / 2)) / drawing.size[0]}%;top:${(100 * (one.y + one.h / 2)) / drawing.size[1]}%` },
        button(`Take it off (${view.covers[one.cover].cost})`, { do: "act", verb: "open_cover", cover: one.cover }, {
          kind: "main",
          spoken: `Take off the ${view.covers[one.cover].label} (${view.covers[one.cover].cost})`,
        }),
      ),
    );
}

function elsewhere(drawing, view) {
  const gone = ["red", "black"].filter((lead) => view.leads[lead] && !drawing.terminals[view.leads[lead]]);
  if (!gone.length) return null;
  return h("p", { class: "ph-elsewhere" }, gone.map((lead) => [h("b", { class: `ph-letter ${lead}` }, lead === "red" ? "R" : "B"), ` ${spelt(view.leads[lead])} (${view.where[lead]}) `]));
}

/** The gravest caution in full, the others one press away. */
function cautions({ cautions: all, location }, local) {
  if (!all.length) return null;
  const rest = all.slice(1);
  const open = local.more === location;
  return h("div", { class: "ph-caution", role: "note", "aria-label": "Cautions" },
    h("div", { class: "ph-caution-first" }, h("p", {}, h("b", {}, "Caution "), all[0]),
      rest.length ? h("button", { type: "button", class: "ph-button", ...QUIET, "data-more": location, "data-key": "more", "aria-expanded": String(open) }, open ? "fewer" : `${rest.length} more`) : null),
    open ? rest.map((words) => h("p", {}, words)) : null);
}

function draw(view, local) {
  const drawing = view.fixed.drawings[view.location];
  return [
    h("div", { class: "ph-tabs", role: "tablist", "aria-label": "Places on the truck" }, view.fixed.tabs.map(([id, label]) =>
      h("button", {
        type: "button", role: "tab", ...QUIET, "data-key": `tab:${id}`, "data-tab": id, class: "ph-tab",
        "aria-selected": String(id === view.location), tabindex: id === view.location ? "0" : "-1",
        "data-send": JSON.stringify({ do: "go", location: id }),
      }, label))),
    h("div", { class: "ph-place", role: "tabpanel", "aria-label": drawing.title }, h("div", { class: "ph-sheet" }, sheet(drawing, view, local), lidButtons(drawing, view))),
    h("div", { class: "ph-strips" },
      cautions(view, local),
      h("div", { class: "ph-told" },
        h("p", { class: `ph-message ${view.refused ? "refused" : ""}`, role: "status", "aria-live": "polite" }, view.refused ? [h("b", {}, "Not done. "), view.refused] : view.message),
        elsewhere(drawing, view))),
  ];
}

/** The terminal nearest to `name` in the direction of an arrow key. */
function neighbour(drawing, free, name, key) {
  const [ux, uy] = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[key];
  const from = drawing.terminals[name];
  let best = [name, Infinity];
  for (const other of free) {
    const [dx, dy] = [drawing.terminals[other].x - from.x, drawing.terminals[other].y - from.y];
    const [along, aside] = [dx * ux + dy * uy, Math.abs(dx * uy) + Math.abs(dy * ux)];
    if (along > 0.5 && along + 2 * aside < best[1]) best = [other, along + 2 * aside];
  }
  return best[0];
}

function listen(box, { send, redraw, local, view }) {
  function focus(name) {
    local.focus = name;
    redraw();
    box.querySelector(`[data-terminal="${CSS.escape(name)}"]`)?.focus();
  }
  box.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { fixed, covered, location } = view();
    const drawing = fixed.drawings[location];
    const name = event.target.dataset?.terminal;
    if (name) {
      const free = Object.keys(drawing.terminals).filter((one) => !covered.includes(one));
      const lead = { r: "red", b: "black" }[event.key.toLowerCase()];
      if (lead) send({ do: "touch", terminal: name, lead });
      else if (event.key.startsWith("Arrow")) focus(neighbour(drawing, free, name, event.key));
      else if (event.key === "Home") focus(free[0]);
      else if (event.key === "End") focus(free.at(-1));
      else return;
      event.preventDefault();
      event.stopPropagation();
    } else if (event.target.dataset?.tab && /^Arrow(Left|Right)$/.test(event.key)) {
      const ids = fixed.tabs.map(([id]) => id);
      const next = ids.at((ids.indexOf(location) + (event.key === "ArrowRight" ? 1 : -1)) % ids.length);
      send({ do: "go", location: next });
      local.tab = next;
      event.preventDefault();
      event.stopPropagation();
    }
  });
  box.addEventListener("click", (event) => {
    const place = event.target.closest("[data-more]")?.dataset.more;
    if (!place) return;
    local.more = local.more === place ? null : place;
    redraw();
  });
  box.addEventListener("focusin", (event) => {
    const name = event.target.dataset?.terminal;
    if (name && name !== local.focus) {
      local.focus = name;
      for (const one of box.querySelectorAll("[data-terminal]")) one.setAttribute("tabindex", one.dataset.terminal === name ? "0" : "-1");
    }
  });
}

/** After an arrow key on the tabs the focus follows to the chosen one. */
function after(box, view, local) {
  if (local.tab !== view.location) return;
  local.tab = null;
  box.querySelector(`[data-tab="${CSS.escape(view.location)}"]`)?.focus();
}

export default { render: (context) => mount(context, "picture", draw, { listen, after }) };
