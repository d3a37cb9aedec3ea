// The two halves: name, transcription, canvases, and what is said of the moment, also for those who listen.

const stages = HALVES.map((half, number) => {
  const parts = {
    side: el("canvas", { class: "side", role: "img", id: "side-" + number }),
    folds: el("canvas", { class: "inset", "aria-hidden": "true" }),
    lips: el("canvas", { class: "inset", "aria-hidden": "true" }),
    palate: DATA.palatogram ? el("canvas", { class: "inset", "aria-hidden": "true" }) : null,
    symbol: el("span", { class: "symbol ipa", "aria-hidden": "true" }),
    word: el("span", { class: "word" }),
    phase: el("span", { class: "phase" }),
    cue: el("strong", { class: "cue" }),
    detail: el("span", { class: "detail" }),
    contact: el("dd"), air: el("dd"), voice: el("dd"),
    ipa: el("p", { class: "ipa pieces", role: "group", label: "transcription" }),
    key: el("span", { class: PAIR ? "line line-" + number : "quiet", "aria-hidden": "true" }),
    pieces: [],
  };
  for (const [text, sound] of half.pieces) {
    if (sound === null) {
      parts.ipa.append(el("span", { "aria-hidden": "true" }, text));
      continue;
    }
    const piece = button(`sound-${number}-${sound}`, { class: "piece", "data-sound": sound }, isolated(text));
    piece.addEventListener("click", () => chooseSound(number, sound));
    parts.pieces[sound] = piece;
    parts.ipa.append(piece);
  }
  const row = (name, value) => el("div", {}, el("dt", { t: "row_" + name }), value);
  parts.all = el("article", { class: "half", id: "half-" + number },
    el("div", { class: "head" }, parts.key, parts.symbol, el("div", {}, el("h2", { class: "name" }, parts.word), parts.ipa)),
    parts.side,
    el("p", { class: "caption", id: "caption-" + number }, parts.phase, parts.cue, parts.detail),
    el("div", { class: "below" },
      el("dl", { class: "rows" }, row("mouth", parts.contact), row("air", parts.air), row("voice", parts.voice)),
      el("div", { class: "insets" },
        el("figure", {}, parts.lips, el("figcaption", { t: "lips_front" })),
        DATA.palatogram ? el("figure", {}, parts.palate, el("figcaption", { t: "roof_below" })) : null,
        el("figure", {}, parts.folds, el("figcaption", { t: "folds_above" })))));
  parts.row = null;
  return parts;
});

function stateAt(half, time) {
  const rows = HALVES[half].states;
  let low = 0, high = rows.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (rows[middle][0] <= time + 1e-9) low = middle;
    else high = middle;
  }
  return rows[low];
}

function phaseName(phase) {
  return say("phase_" + phase);
}

// What is said of a half at a time, for those who listen.
function spoken(half, time) {
  const [, sound, phase, cue, detail, contact, air, voice] = stateAt(half, time);
  const symbol = sound === null ? "" : HALVES[half].spans[sound].symbol;
  return [`${HALVES[half].name}${symbol ? ` [${symbol}]` : ""}, ${phaseName(phase)}: ${textOf(cue)}.`,
    ...[detail, contact, air, voice].map((text) => textOf(text).replace(/[.。]?$/, "."))].join(" ");
}

function putState(number, time) {
  const parts = stages[number], half = HALVES[number], row = stateAt(number, time);
  if (parts.row === row && parts.language === language) return;
  parts.row = row;
  parts.language = language;
  const [, sound, phase, cue, detail, contact, air, voice] = row, span = sound === null ? null : half.spans[sound];
  parts.symbol.textContent = span ? span.symbol : "\u2013";
  parts.word.replaceChildren(...wordParts(half, span));
  parts.phase.textContent = phaseName(phase);
  parts.cue.textContent = textOf(cue);
  parts.detail.textContent = textOf(detail);
  parts.contact.textContent = textOf(contact);
  parts.air.textContent = textOf(air);
  parts.voice.textContent = textOf(voice);
  parts.side.setAttribute("aria-label", say("picture_of", { name: half.name }) + " " + spoken(number, time));
  parts.pieces.forEach((piece, at) => {
    if (at === sound) piece.setAttribute("aria-current", "true");
    else piece.removeAttribute("aria-current");
  });
}

// The words with the letters of the sound marked.
function wordParts(half, span) {
  if (half.alone || !span || !span.letters) return [isolated(half.name)];
  const out = [];
  half.words.forEach((word, i) => {
    const [from, to] = i === span.word ? span.letters : [0, 0];
    if (i) out.push(" ");
    if (to > from) out.push(word.slice(0, from), el("b", {}, word.slice(from, to)), word.slice(to));
    else out.push(word);
  });
  return out;
}
