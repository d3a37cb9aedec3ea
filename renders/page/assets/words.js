// Texts in the language that is shown, and elements that hold them. Texts only ever become text, never markup.

const HALVES = DATA.halves, PAIR = HALVES.length === 2;
let language = DATA.language;

// A text with its blanks filled; {Name} begins with a capital letter. A blank that holds nothing takes its space with it.
function filled(text, fill = {}) {
  let empty = false;
  const whole = text.replace(/\{(\w+)\}/g, (blank, name) => {
    const capital = fill[name] === undefined, held = fill[capital ? name[0].toLowerCase() + name.slice(1) : name];
    if (held === undefined) return blank;
    const meant = meaning(held);
    empty ||= meant === "";
    return capital ? meant.slice(0, 1).toUpperCase() + meant.slice(1) : meant;
  });
  return empty ? whole.replace(/ +/g, " ").trim() : whole;
}

// What stands in a blank: a text of no language, a row with a key, or several of these, joined as the language joins.
function meaning(value) {
  if (typeof value !== "object") return String(value);
  if (!value.items) return say(value.key, value.fill);
  const items = value.items.map(meaning), end = value.joint === "last" && items.length > 1 ? items.pop() : null;
  const joined = items.join(say(value.joint === "word" ? "join_word" : "join_comma"));
  return end === null ? joined : joined + say("join_last") + end;
}

// Sentences in an element.
function saySentences(made, rows) {
  made.append(rows.map(meaning).join(say("join_sentence")));
  return made;
}

// The text of a key in the language that is shown.
function say(key, fill) {
  const text = DATA.messages[language][key];
  return text === undefined ? "" : filled(text, fill);
}

// A text of the data (by number) in the language that is shown.
function textOf(number) {
  return meaning(DATA.texts[number]);
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
  heard: "M3 9H7L12 4.5V19.5L7 15H3ZM14.5 8.5A5 5 0 0 1 14.5 15.5L13.5 14A3 3 0 0 0 13.5 10ZM16.5 5.5A9 9 0 0 1 16.5 18.5L15.4 17A7 7 0 0 0 15.4 7Z",
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
