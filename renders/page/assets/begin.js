// Puts the page together and starts it. Nothing plays by itself.

function languagePicker() {
  const made = el("select", { id: "language", label: "language" });
  for (const [key, { name, tag }] of Object.entries(DATA.languages)) {
    made.append(el("option", { value: key, lang: tag, selected: key === language }, name));
  }
  made.addEventListener("change", () => {
    language = made.value;
    putAll();
    writeAddress();
  });
  return made;
}

const lead = el("p", { id: "lead" }), doList = el("ul", { id: "do" }), heading = el("h1", { id: "title" });
const differencePanel = el("section", { class: "panel", id: "difference" });

// What to do in one word: "The r in right: round the lips."
function toDo({ word, actions }) {
  const [before, letters, after] = word, name = el("strong", {});
  const whole = isolated("", { lang: "en" });
  whole.append(before, el("mark", {}, letters), after);
  name.append(letters ? isolated(letters, { lang: "en" }) : whole, ...(letters ? [say("do_in"), whole] : []), say("do_colon"));
  return saySentences(el("li", {}, name, " "), actions);
}

function putHeading() {
  heading.replaceChildren();
  HALVES.forEach((half, number) => {
    if (number) heading.append(" ", el("span", { class: "small", t: "and" }), " ");
    heading.append(isolated(half.name));
    if (!half.alone) heading.append(" ", el("bdi", { class: "ipa small" }, half.pieces.map((piece) => piece[0]).join("")));
  });
  const headline = PAIR ? DATA.difference.headline : null;
  lead.replaceChildren();
  doList.replaceChildren(...DATA.do.map(toDo));
  doList.hidden = !DATA.do.length;
  if (headline) {
    const text = meaning(headline);
    lead.append(el("strong", { class: DATA.do.length ? "more" : "" }, text[0].toUpperCase() + text.slice(1) + say("join_stop")), " ");
  }
  lead.append(el("span", { class: headline ? "more" : "" }, say(PAIR ? "lead_pair" : "lead_one")));
}

function putAll() {
  putHeading();
  putDifference(differencePanel);
  putMoments();
  putTexts();
  putPlaying();
  putSound();
  putRecord(record.told);
  putView();
  changed();
  redraw();
}

function build() {
  parts.halves = el("div", { class: "halves" }, ...stages.map((stage) => stage.all));
  const back = button("back", { label: "step_back", on: { click: () => step(-1) } }, icon("back"));
  const forth = button("forth", { label: "step_forth", on: { click: () => step(1) } }, icon("forth"));
  const start = button("start", { label: "to_start", on: { click: () => { pause(); seek(S.first * FRAME_S); } } }, icon("start"));
  parts.play.addEventListener("click", play);
  parts.slider.addEventListener("input", () => {
    pause();
    range = null;
    seek(Number(parts.slider.value) * FRAME_S, true);
  });
  parts.slider.addEventListener("change", () => seek(at));
  const controls = el("section", { class: "controls", id: "controls", tabindex: "-1", label: "controls" },
    el("div", { class: "bar" }, start, back, parts.play, forth, loopButton, swapButton, soundButton, parts.slider, parts.clock),
    el("div", { class: "bar phases" }, phaseOf, phaseGroup));
  const stage = el("section", { id: "stage", label: "stage" });
  if (PAIR) stage.append(el("div", { class: "bar views" }, viewGroup));
  stage.append(parts.halves, soundBar());
  const box = el("div", { class: "lanes" }, parts.tracks, parts.line);
  seekable(box);
  const key = el("p", { class: "key" },
    el("span", {}, el("i", { class: "swatch", "aria-hidden": "true" }), el("span", { t: "key_contact" })),
    el("span", {}, el("i", { class: "swatch voice", "aria-hidden": "true" }), el("span", { t: "key_wave" })),
    el("span", { t: "key_line" }));
  const timing = el("section", { class: "panel", id: "timing" }, el("h2", { t: "tracks" }), box, key);
  const options = el("section", { class: "panel", id: "options" }, el("h2", { t: "speed" }), speedGroup);
  if (PAIR) options.append(el("h2", { class: "gap", t: "align" }), alignGroup, alignNote);
  options.append(el("h2", { class: "gap", t: "theme" }), themeGroup, el("h2", { class: "gap", t: "language" }), languagePicker());
  const check = el("section", { class: "panel", id: "check" });
  putQuiz(check);
  const calmNote = el("p", { class: "panel small", id: "calm", t: "calm_note" });
  calmNote.hidden = !calm();
  document.getElementById("top").append(el("div", { class: "lead" }, heading, doList, lead));
  document.getElementById("main").append(calmNote, stage, controls, timing, el("div", { class: PAIR ? "two" : "two lone" }, el("div", {}, ...(PAIR ? [check] : []), options), PAIR ? differencePanel : null), recordPanel(), momentsBox, keysPanel());
  document.getElementById("foot").append(el("p", { t: "caution" }), el("p", { t: "typical" }), el("p", { t: "made" }));
  momentsBox.open = calm();
  const skip = document.getElementById("skip");
  skip.dataset.t = "skip";
  skip.addEventListener("click", (event) => {
    event.preventDefault();
    controls.focus();
  });
}

// A press or a drag in the tracks goes to that moment.
function seekable(box) {
  let down = false;
  const go = (event) => {
    const share = (event.clientX - box.getBoundingClientRect().left - lanes.left) / (lanes.right - lanes.left);
    pause();
    range = null;
    seek(Math.round(mix(S.first, S.last, limited(share))) * FRAME_S, true);
  };
  box.addEventListener("pointerdown", (event) => {
    down = true;
    box.setPointerCapture(event.pointerId);
    go(event);
  });
  box.addEventListener("pointermove", (event) => { if (down) go(event); });
  for (const end of ["pointerup", "pointercancel"]) {
    box.addEventListener(end, () => {
      if (down) seek(at);
      down = false;
    });
  }
}

// Where it opens: when two differ most; of one the middle of the sound in question, which shows what the page is about.
function chooseFirst() {
  if (PAIR) {
    at = Math.round(DATA.opens_s / FRAME_S) * FRAME_S;
    return;
  }
  const span = HALVES[0].spans[HALVES[0].focus], found = span.phases.find((p) => p[0] === "hold") || span.phases[0];
  at = Math.round(((found[1] + found[2]) / 2 - S.zeros[0]) / FRAME_S) * FRAME_S;
}

function listen() {
  document.addEventListener("keydown", onKey);
  window.addEventListener("hashchange", () => {
    if (location.hash === written) return;
    readAddress();
    document.getElementById("language").value = language;
    putAll();
  });
  new ResizeObserver(() => redraw()).observe(parts.halves);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => redraw());
  still.addEventListener("change", () => {
    pause();
    document.getElementById("calm").hidden = !calm();
    momentsBox.open = momentsBox.open || calm();
    putPlaying();
  });
}

function begin() {
  if (PAIR && narrow.matches) S.view = "one";
  S.align = usual;
  build();
  readAddress();
  if (!new URLSearchParams(location.hash.slice(1)).has("frame")) chooseFirst();
  document.getElementById("language").value = language;
  putAll();
  announce();
  listen();
  // For tests, and for a page around this one that knows what it embeds.
  window.vocaltract = {
    state: () => ({ ...S, at, playing: S.playing, language, quiz: quiz.half, halves: HALVES.length }),
    zeros: () => [...S.zeros],
    seek: (seconds) => seek(seconds),
    record,
    measured,
    sound: { of: sound, decoded, clipAt, heardAt: () => heardAt(sound.out.context) },
    outlines: (half, time) => Object.fromEntries(Object.entries(shapeAt(half, time).lines).map(([name, line]) => [name, [...line]])),
    draw: (seconds, passed = 0.016) => {
      film += passed;
      at = seconds;
      show(passed);
    },
  };
}

begin();
