// Texts in the language that is shown, and elements that hold them. Texts only ever become text, never markup.

const HALVES = DATA.halves, PAIR = HALVES.length === 2;
let language = DATA.language;

function filled(text, fill) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => {
    const value = fill ? fill[name] : undefined;
    if (value === undefined) return whole;
    return meant(value);
  });
}

// What stands in a blank: a text, a key, a text of its own with blanks, or several of these.
function meant(value) {
  if (Array.isArray(value)) return value.map((one) => (typeof one === "string" ? say(one) : meant(one))).join(say("comma"));
  return typeof value === "object" ? rowText(value) : String(value);
}

// A text made from a key where the language that is shown has it, else in English.
function rowText(row) {
  return inOwn(row) ? filled(DATA.messages[language][row.key], row.fill) : row.en;
}

const inOwn = (row) => language !== "en" && Boolean(row.key) && DATA.messages[language][row.key] !== undefined;

// Sentences in an element; those that stay English are marked as English.
function sayRows(made, rows) {
  for (const row of rows) {
    const text = rowText(row);
    made.append(el("span", { lang: inOwn(row) || language === "en" ? null : "en" }, text), text.endsWith(".") ? " " : "");
  }
  return made;
}

// The text of a key; in English where the language has none.
function say(key, fill) {
  const text = DATA.messages[language][key] ?? DATA.messages.en[key];
  return text === undefined ? "" : filled(text, fill);
}

// A text of the data (by number) in the language that is shown.
function textOf(number) {
  return rowText(DATA.texts[number]);
}

function el(tag, attributes, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {})) {
    if (name === "on") for (const [event, work] of Object.entries(value)) made.addEventListener(event, work);
    else if (name === "t") made.dataset.t = value;
    else if (name === "label") made.dataset.label = value;
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
  }
  for (const child of children) if (child !== null && child !== undefined) made.append(child);
  return made;
}

const SVG = "http://www.w3.org/2000/svg";
const ICONS = {
  play: "M7 4 20 12 7 20Z", pause: "M6 4H10V20H6ZM14 4H18V20H14Z", back: "M15 4 5 12 15 20ZM17 4H20V20H17Z",
  forth: "M9 4 19 12 9 20ZM4 4H7V20H4Z", start: "M5 4H8V20H5ZM20 4 10 12 20 20Z",
  loop: "M12 4A8 8 0 0 1 19.4 9H16.4A5.3 5.3 0 1 0 17 13.5H19.9A8 8 0 1 1 12 4ZM20.5 3V10H13.5Z",
  swap: "M7 4 2 9 7 14V10.5H15V7.5H7ZM17 10 22 15 17 20V16.5H9V13.5H17Z",
};

function icon(name) {
  const svg = document.createElementNS(SVG, "svg"), path = document.createElementNS(SVG, "path");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  path.setAttribute("d", ICONS[name]);
  svg.append(path);
  return svg;
}

// A button with a text (key `t`) or with an icon and a label (key `label`).
function button(name, attributes, ...children) {
  return el("button", { type: "button", id: name, ...attributes }, ...children);
}

// Puts every text and label anew, in the language that is shown.
function putTexts() {
  document.documentElement.lang = DATA.languages[language].tag;
  const names = { a: HALVES[0].name, b: PAIR ? HALVES[1].name : "" };
  for (const made of document.querySelectorAll("[data-t]")) made.textContent = say(made.dataset.t, names);
  for (const made of document.querySelectorAll("[data-label]")) made.setAttribute("aria-label", say(made.dataset.label, names));
}

// Text of unknown direction that must not turn what stands around it.
function isolated(text, attributes) {
  const made = el("bdi", attributes);
  made.textContent = text;
  return made;
}

const number = (value) => (value < 0 ? "\u2212" + -value : String(value));
