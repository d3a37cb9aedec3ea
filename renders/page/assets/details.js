// Below the picture: what differs, the self-check, key moments as stills, the keys.

const alignNote = el("p", { class: "small" });

function valueOf(row, half) {
  const value = half ? row.b : row.a;
  if (value === null) return "";
  if (row.unit === "ms_after") return value < 0 ? say("voice_before") : say("unit_ms", { value });
  return row.unit === "key" ? say(value) : say("unit_" + row.unit, { value: number(value) });
}

function differenceTable() {
  const body = el("tbody");
  // what differs stands first
  const rows = [...DATA.difference.rows].sort((a, b) => a.same - b.same);
  for (const row of rows) {
    const line = el("tr", { class: row.same ? "alike" : "differs" }, el("th", { scope: "row", t: "part_" + row.part }));
    if (row.unit === "apart_mm") {
      line.append(el("td", { colspan: 2 }, row.same ? say("alike_outline") : say("unit_apart_mm", { value: row.b })));
    } else line.append(el("td", {}, valueOf(row, 0)), el("td", {}, valueOf(row, 1)));
    line.append(el("td", {}, el("span", { class: "mark", t: row.same ? "same" : "differs" })));
    body.append(line);
  }
  const named = (half) => el("th", { scope: "col" }, isolated(HALVES[half].name));
  return el("table", {}, el("caption", { class: "quiet", t: "table_caption" }),
    el("thead", {}, el("tr", {}, el("th", { scope: "col", t: "part" }), named(0), named(1), el("th", { scope: "col" }, el("span", { class: "quiet", t: "verdict" })))), body);
}

function putDifference(place) {
  if (!PAIR) return;
  const { difference } = DATA;
  place.replaceChildren(el("h2", { t: "difference" }));
  if (!difference.shared) place.append(el("p", { class: "small", t: "nothing_shared" }));
  place.append(saySentences(el("p", { class: "cue-card" }), difference.plain));
  if (difference.unseen.length) place.append(saySentences(el("p", { class: "small gap" }), difference.unseen));
  if (DATA.palatogram) place.append(palatograms());
  place.append(differenceTable(), el("p", { class: "small gap", t: "caution_values" }),
    el("details", {}, el("summary", { t: "technical" }), saySentences(el("p", { class: "small" }), difference.technical)));
}

// What the tongue touches, from below, at the key moments of both sounds.
let palateCanvases = [];

function palatograms() {
  palateCanvases = [];
  const made = el("div", { class: "below-both" });
  HALVES.forEach((half, number) => {
    const row = el("div", { class: "below-row" }, el("p", {}, isolated(quizName(number))));
    for (const [time, word] of half.palatogram) {
      const canvas = el("canvas", { class: "roof", role: "img" }), moment = half.moments.find((one) => Math.abs(one[0] - time) < 1e-4);
      const text = (moment ? `${textOf(moment[1])}: ` : "") + say(word);
      canvas.setAttribute("aria-label", `${half.name}, ${say("roof_below")}: ${text}`);
      palateCanvases.push({ canvas, number, time });
      row.append(el("figure", {}, canvas, el("figcaption", {}, text)));
    }
    made.append(row);
  });
  return el("div", { class: "gap" }, el("h3", { t: "below_title" }), el("p", { class: "small", t: "below_note" }), made);
}

function drawPalatograms() {
  for (const { canvas, number, time } of palateCanvases) drawPalatogram(canvas, number, time, COLOURS);
}

// Self-check: a film without sound and names; which of the two was it?

const quiz = { half: -1, at: 0, on: false };
const quizCanvas = el("canvas", { class: "quiz", role: "img", label: "quiz_picture", id: "quiz" });
const quizAsk = button("quiz-ask", { t: "quiz_start" });
const quizSay = el("div", { class: "answer", id: "answer", role: "status", hidden: true });
const quizPicks = el("div", { class: "choices gap", role: "group", label: "quiz_which" });

function putQuiz(place) {
  if (!PAIR) return;
  quizAsk.addEventListener("click", askQuiz);
  HALVES.forEach((half, number) => {
    const pick = button("quiz-" + number, { class: "ipa", disabled: true }, isolated(quizName(number)));
    pick.addEventListener("click", () => answerQuiz(number));
    quizPicks.append(pick);
  });
  quizCanvas.hidden = true;
  place.append(el("h2", { t: "check" }), el("p", { class: "small", t: "check_note" }), el("div", { class: "choices gap" }, quizAsk),
    quizCanvas, quizPicks, quizSay);
}

function quizName(number) {
  const half = HALVES[number];
  return half.alone ? half.name : `${half.name} [${half.spans[half.focus].symbol}]`;
}

function quizTimes(half) {
  const { speech, spans, focus } = HALVES[half], span = spans[focus], phases = span.phases;
  return [Math.max(speech[0] - 0.1, phases[0][1] - 0.1), Math.min(Math.max(span.end, phases[phases.length - 1][2]) + 0.18, HALVES[half].duration)];
}

function askQuiz() {
  pause();
  if (quiz.half < 0 || quiz.done) quiz.half = Math.random() < 0.5 ? 0 : 1;
  quiz.done = false;
  quizCanvas.hidden = false;
  quizSay.hidden = true;
  for (const pick of quizPicks.children) pick.disabled = false;
  quizAsk.dataset.t = calm() ? "quiz_next" : "quiz_again";
  putTexts();
  const [from, to] = quizTimes(quiz.half);
  if (calm()) {
    // four stills, one after the other, each when asked for
    quiz.step = ((quiz.step ?? -1) + 1) % 4;
    quizDraw(from + ((quiz.step + 0.5) / 4) * (to - from), 0);
    return;
  }
  quiz.at = from;
  quiz.on = true;
  let last = performance.now();
  const run = (now) => {
    if (!quiz.on) return;
    const seconds = Math.min((now - last) / 1000, 0.1);
    last = now;
    film += seconds;
    quiz.at += seconds * 0.25;
    quizDraw(Math.min(quiz.at, to), seconds);
    if (quiz.at >= to) quiz.on = false;
    else requestAnimationFrame(run);
  };
  requestAnimationFrame(run);
}

function quizDraw(time, seconds) {
  const shape = shapeAt(quiz.half, time);
  drawSide(quizCanvas, shape, { held: heldOf(quiz, shape, seconds), drift: driftAt(film), colours: COLOURS });
}

function answerQuiz(number) {
  if (quiz.half < 0) return;
  quiz.on = false;
  quiz.done = true;
  const right = number === quiz.half, other = 1 - quiz.half;
  const reasons = DATA.difference.rows.filter((row) => !row.same && row.unit !== "apart_mm");
  const list = el("ul");
  for (const row of reasons.slice(0, 4)) {
    list.append(el("li", {}, say("why_row", {
      part: say("part_" + row.part), value: valueOf(row, quiz.half), other: HALVES[other].name, otherValue: valueOf(row, other),
    })));
  }
  for (const row of DATA.difference.rows.filter((r) => !r.same && r.unit === "apart_mm").slice(0, reasons.length ? 1 : 3)) {
    list.append(el("li", {}, say("why_apart", { part: say("part_" + row.part), value: row.b })));
  }
  quizSay.className = right ? "answer right" : "answer";
  const text = say(right ? "quiz_right" : "quiz_wrong", { name: quizName(quiz.half) });
  quizSay.replaceChildren(el("strong", {}, text), list.children.length ? el("p", {}, say("quiz_why")) : null, list);
  quizSay.hidden = false;
  for (const pick of quizPicks.children) pick.disabled = true;
  quizAsk.dataset.t = "quiz_more";
  quiz.step = -1;
  putTexts();
}

// Key moments as stills: what those see who want nothing to move, and a map for the others.

const momentsBox = el("details", { class: "panel", id: "moments" }, el("summary", { t: "moments" }));
let momentCanvases = [];

function putMoments() {
  for (const made of [...momentsBox.children].slice(1)) made.remove();
  momentCanvases = [];
  HALVES.forEach((half, number) => {
    const list = el("ul", { class: "moments" });
    half.moments.forEach(([time, label, sound]) => {
      const canvas = el("canvas", { "aria-hidden": "true" }), symbol = sound === null ? "" : half.spans[sound].symbol;
      const one = el("button", { type: "button" }, canvas, el("span", { class: "ipa" }, `${symbol ? symbol + ": " : ""}${textOf(label)}`));
      one.addEventListener("click", () => {
        pause();
        S.sound = [number, sound ?? S.sound[1]];
        if (S.view === "one") S.one = number;
        putView();
        seek(time - S.zeros[number]);
      });
      momentCanvases.push({ canvas, number, time });
      list.append(el("li", {}, one));
    });
    momentsBox.append(el("h3", { class: "small" }, isolated(half.name)), list);
  });
}

// A film shows a burst for longer than it lasts, so that it is seen; a still does not (renders/sideview/burst.py).
function pastBurst(half, time) {
  const releases = HALVES[half].spans.map((span) => span.events.release).filter((at) => at !== null && at <= time + 1e-6);
  return releases.length && time - Math.max(...releases) > DATA.limits.burst_s ? "burst" : null;
}

function drawMoments() {
  if (!momentsBox.open) return;
  for (const { canvas, number, time } of momentCanvases) drawSide(canvas, shapeAt(number, time), { without: pastBurst(number, time), colours: COLOURS });
}

momentsBox.addEventListener("toggle", drawMoments);

// Keys. A check box turns them off, since single letters may be wanted by what the reader's browser listens to.

const KEYS = [
  [[" ", "k"], "key_play", play], [["ArrowLeft", ","], "key_back", () => step(-1)], [["ArrowRight", "."], "key_forth", () => step(1)],
  [["Home"], "key_start", () => { pause(); seek(S.first * FRAME_S); }], [["End"], "key_end", () => { pause(); seek(S.last * FRAME_S); }],
  [["1"], "key_approach", () => jump("approach")], [["2"], "key_hold", () => jump(phaseStarts().hold ? "hold" : "steady")],
  [["3"], "key_release", () => jump("release")], [["4"], "key_voice", () => jump("voice")],
  [["["], "key_before", () => nextSound(-1)], [["]"], "key_after", () => nextSound(1)],
  [["s"], "key_speed", () => { S.speed = SPEEDS[(SPEEDS.indexOf(S.speed) + 1) % SPEEDS.length]; changed(); }],
  [["l"], "key_loop", () => loopButton.click()],
  [["v"], "key_view", () => PAIR && setView2(VIEWS[(VIEWS.indexOf(S.view) + 1) % VIEWS.length])],
  [["f"], "key_flick", flick],
  [["a"], "key_align", () => { seek(putAlign(possible[(possible.indexOf(S.align) + 1) % possible.length])); changed(); redraw(); }],
];
const KEY_NAMES = { " ": "space", ArrowLeft: "\u2190", ArrowRight: "\u2192", Home: "home", End: "end" };

function nextSound(by) {
  const [half, sound] = S.sound, count = HALVES[half].spans.length;
  chooseSound(half, limited(sound + by, 0, count - 1));
}

function onKey(event) {
  if (!S.keys || event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
  const { target } = event, key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (target.closest("select, textarea, input:not([type=range]):not([type=checkbox])")) return;
  if (target.matches("input[type=range]") && key.length > 1) return;
  if (key === " " && target.closest("button, summary, input")) return;
  const row = KEYS.find(([keys]) => keys.includes(key));
  if (!row) return;
  event.preventDefault();
  row[2]();
}

function keysPanel() {
  const list = el("ul", { class: "keys" });
  for (const [keys, text] of KEYS) {
    if (!PAIR && ["key_view", "key_flick", "key_align"].includes(text)) continue;
    const named = keys.map((key) => KEY_NAMES[key] ?? key.toUpperCase());
    const line = el("li", {});
    named.forEach((name, i) => {
      if (i) line.append(" ");
      const made = el("kbd", {});
      if (name.length > 2) made.dataset.t = "name_" + name;
      else made.textContent = name;
      line.append(made);
    });
    line.append(" ", el("span", { t: text }));
    list.append(line);
  }
  const check = el("input", { type: "checkbox", id: "keys-on", checked: true });
  check.addEventListener("change", () => { S.keys = check.checked; });
  return el("details", { class: "panel", id: "keys" }, el("summary", { t: "keys" }),
    el("label", { class: "check" }, check, el("span", { t: "keys_on" })), list);
}
