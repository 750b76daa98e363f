// Stands before every panel's own script: anywidget loads one file per widget, so frontend.py joins the two.

const SVG = "http://www.w3.org/2000/svg";
const BUSY_MS = 400; // an answer that takes longer is announced as being worked on
const SILENCE_MS = 20000; // longest honest wait for an answer before saying that the kernel may be gone

/** Make an element. Children that are not elements become text nodes: nothing typed by anyone is read as markup. */
function h(tag, attributes, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** Make an SVG element. */
function s(tag, attributes, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? "" : value);
  }
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    element.append(child);
  }
  return element;
}

/** What each focusable element carries so that JupyterLab leaves its keys alone. */
const QUIET = { "data-lm-suppress-shortcuts": "true" };

/** A button that sends a message; `off` keeps it focusable and says why it does nothing. */
function button(label, message, { pressed, off, name, kind, key, spoken } = {}) {
  return h(
    "button",
    {
      type: "button",
      class: `ph-button ${kind ?? ""}`,
      ...QUIET,
      "data-key": key ?? `${message.do}:${label}`,
      "data-send": JSON.stringify(message),
      "aria-pressed": pressed === undefined ? null : String(pressed),
      "aria-disabled": off ? "true" : null,
      title: off || null,
      "aria-label": spoken ?? null,
      "data-name": name ?? null,
    },
    label,
  );
}

/** Says beside a button that cannot be used yet why not, until the panel is drawn anew: a hint that only a mouse finds is none. */
function explain(box, target) {
  for (const old of box.querySelectorAll(".ph-why")) old.remove();
  if (target.title) target.after(h("span", { class: "ph-why", role: "status" }, target.title));
}

/** Buttons of which one is chosen, under one spoken name. */
function choice(label, chosen, options, message) {
  return h(
    "div",
    { class: "ph-choice", role: "group", "aria-label": label },
    options.map(([value, text, spoken]) =>
      button(text, message(value), { pressed: value === chosen, key: `${label}:${value}`, spoken }),
    ),
  );
}

/** A list to choose from and a button that does what is chosen; each option carries its own message. */
function picker(key, label, options, go) {
  const id = `ph-pick-${key}`;
  return h(
    "div",
    { class: "ph-picker", "data-key": id },
    h("select", { ...QUIET, "aria-label": label, "data-pick": id }, options.map(([text, message]) => h("option", { value: JSON.stringify(message) }, text))),
    h("button", { type: "button", class: "ph-button", ...QUIET, "data-from": id, "aria-label": `${label}: ${go}` }, go),
  );
}

/** Make `old` look like `fresh` and keep every element that stays, so that focus and selection survive. */
function morph(old, fresh) {
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !KEPT.has(name)) old.removeAttribute(name);
  }
  for (const { name, value } of [...fresh.attributes]) {
    if (!KEPT.has(name) && old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  const keyed = new Map();
  for (const child of old.children) if (child.dataset.key) keyed.set(child.dataset.key, child);
  let here = old.firstChild;
  for (const wanted of [...fresh.childNodes]) {
    const key = wanted.dataset?.key;
    let found = key ? keyed.get(key) : here && !here.dataset?.key && here.nodeName === wanted.nodeName ? here : null;
    if (found && found.nodeName !== wanted.nodeName) found = null;
    if (!found) {
      old.insertBefore(wanted, here);
      continue;
    }
    if (found !== here) old.insertBefore(found, here);
    else here = here.nextSibling;
    if (found.nodeType === Node.TEXT_NODE) {
      if (found.data !== wanted.data) found.data = wanted.data;
    } else morph(found, wanted);
  }
  while (here) {
    const next = here.nextSibling;
    here.remove();
    here = next;
  }
}
const KEPT = new Set(["value", "open"]); // belong to the person, not to the drawing

/** Tell the person inside the bench that the kernel no longer answers. */
function offline(element, sentence) {
  const root = element.closest(".ph-bench") ?? element;
  let notice = root.querySelector(":scope > .ph-offline");
  if (!sentence) return notice?.remove();
  if (!notice) {
    notice = h("p", { class: "ph-offline", role: "alert" });
    root.prepend(notice);
  }
  notice.textContent = sentence;
}
/** Say that the kernel is at work, in the corner of the bench. */
function busy(element, on) {
  const root = element.closest(".ph-frame") ?? element;
  let sign = root.querySelector(":scope > .ph-busy");
  if (!on) return sign?.remove();
  if (sign) return;
  sign = h("p", { class: "ph-busy", role: "status" }, "working …");
  root.append(sign);
}

/** A saved notebook carries a line that says the bench is not connected; this one is, so the line goes. */
function connected(element) {
  requestAnimationFrame(() => {
    for (const line of element.closest(".jp-OutputArea")?.querySelectorAll(".ph-resume") ?? []) line.hidden = true;
  });
}
const GONE =
  "Not connected: the kernel behind this bench has stopped. Run this cell again to go on; all work up to here is in the attempt file.";
const SLOW =
  "No answer for twenty seconds. If nothing else is running, run this cell again; all work up to here is in the attempt file.";

/**
 * Draw a panel from model.get("view") and redraw it at every change.
 * `draw(view, local)` returns elements; `local` keeps what only this screen knows (a search text, a focused point),
 * and `view.fixed` what never changes while the bench lives.
 * Returns the function anywidget calls when the view goes away.
 */
function mount({ model, el }, name, draw, extra = {}) {
  const local = {};
  const waiting = new Map();
  let count = 0;
  let gone = null; // why this bench will never answer again
  el.classList.add("ph", `ph-${name}`);
  const box = h("div", { class: "ph-body" });
  el.append(box);

  function send(message) {
    const n = ++count;
    waiting.set(n, [setTimeout(() => busy(el, true), BUSY_MS), setTimeout(() => offline(el, SLOW), SILENCE_MS)]);
    try {
      model.send({ ...message, n });
    } catch {
      forget(n);
      offline(el, GONE);
    }
  }
  function forget(n) {
    for (const timer of waiting.get(n) ?? []) clearTimeout(timer);
    waiting.delete(n);
  }
  const view = () => ({ ...model.get("view"), fixed: model.get("fixed") });
  function redraw() {
    morph(box, h("div", { class: "ph-body" }, draw(view(), local)));
    extra.after?.(box, view(), local);
  }
  function answered(message) {
    if (message?.gone) {
      gone = message.gone;
      offline(el, gone);
    }
    if (message?.ack === undefined) return;
    forget(message.ack);
    if (waiting.size > 0) return;
    if (!gone) offline(el, null);
    busy(el, false);
  }
  function clicked(event) {
    const target = event.target.closest("[data-send], [data-from]");
    if (!target || !box.contains(target)) return;
    event.stopPropagation();
    if (target.getAttribute("aria-disabled") === "true") return explain(box, target);
    const list = target.dataset.from && box.querySelector(`[data-pick="${CSS.escape(target.dataset.from)}"]`);
    const words = list ? list.value : target.dataset.send;
    if (words) send(JSON.parse(words));
  }
  function pressed(event) {
    // An SVG element with a role of button must answer to Enter and the space bar like one.
    const target = event.target;
    if ((event.key === "Enter" || event.key === " ") && target.namespaceURI === SVG && target.dataset.send) {
      event.preventDefault();
      send(JSON.parse(target.dataset.send));
    }
  }
  box.addEventListener("click", clicked);
  box.addEventListener("keydown", pressed);
  extra.listen?.(box, { send, redraw, local, view });
  model.on("change:view", redraw);
  model.on("msg:custom", answered);
  model.on("comm_live_update", () => offline(el, GONE));
  redraw();
  connected(el);
  return () => {
    for (const n of [...waiting.keys()]) forget(n);
    model.off("change:view", redraw);
    model.off("msg:custom", answered);
  };
}
