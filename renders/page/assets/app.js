// What the page is showing, the controls that change it, and its place in the address.

const { speeds: SPEEDS, least_loop_s: LEAST_LOOP_S, before_s: BEFORE_S, after_s: AFTER_S } = DATA.playing;
const EVENTS = ["start", "closure", "release", "voice", "vowel"];
const VIEWS = ["side", "over", "one"], THEMES = ["auto", "light", "dark"], FRAME_S = 1 / DATA.rate;

const S = {
  frame: 0, view: PAIR ? "side" : "one", one: 0, speed: 0.5, align: "start", loop: false, theme: "auto",
  playing: false, zeros: [0, 0], first: 0, last: 0, sound: [0, HALVES[0].focus], keys: true,
};
let embedded = false, at = 0, film = 0, before = 0, range = null, asked = 0, written = "";

const still = window.matchMedia("(prefers-reduced-motion: reduce)");
const narrow = window.matchMedia("(max-width: 699px)");
const calm = () => still.matches;

function eventOf(half, name) {
  if (name === "start") return HALVES[half].speech[0];
  const { events } = HALVES[half].spans[HALVES[half].focus];
  return events[name];
}

const possible = EVENTS.filter((name) => HALVES.every((_, half) => eventOf(half, name) !== null));
const usual = DATA.usual;

function putAlign(name) {
  const kept = at + S.zeros[S.sound[0]];
  S.align = possible.includes(name) ? name : usual;
  // on a frame that is packed: at the usual event exactly, at others the first one after it
  S.zeros = HALVES.map((half, i) => half.offset + Math.ceil((eventOf(i, S.align) - half.offset) / FRAME_S - 1e-4) * FRAME_S);
  S.first = Math.floor(Math.min(...HALVES.map((h, i) => h.speech[0] - BEFORE_S - S.zeros[i])) / FRAME_S);
  S.last = Math.ceil(Math.max(...HALVES.map((h, i) => h.speech[1] + AFTER_S - S.zeros[i])) / FRAME_S);
  range = null;
  return kept - S.zeros[S.sound[0]];
}

// Moves to a time of the common clock: 0 is the event at which the halves are lined up.
function seek(time, quiet) {
  at = limited(time, S.first * FRAME_S, S.last * FRAME_S);
  show(0);
  if (!quiet) {
    announce();
    writeAddress();
  }
}

function step(by) {
  pause();
  range = null;
  seek((Math.round(at / FRAME_S) + by) * FRAME_S);
}

function show(seconds) {
  S.frame = Math.round(at / FRAME_S);
  drawStages(at, film, seconds);
  parts.slider.value = String(Math.round(at / FRAME_S));
  parts.slider.setAttribute("aria-valuetext", say("at_ms", { ms: number(Math.round(1000 * at)) }));
  parts.clock.textContent = number(Math.round(1000 * at)) + " ms";
  const share = (at - S.first * FRAME_S) / ((S.last - S.first) * FRAME_S);
  parts.line.style.transform = `translateX(${lanes.left + share * (lanes.right - lanes.left)}px)`;
  putPhases();
}

// While it plays only a new phase is announced, and no more often than can be listened to.
let announced = "", announcedAt = 0;
function announce() {
  const halves = S.view === "one" ? [S.one] : [...HALVES.keys()];
  const text = halves.map((half) => spoken(half, at + S.zeros[half])).join(" ");
  const now = performance.now();
  if (text === announced || (S.playing && now - announcedAt < 1500)) return;
  announced = text;
  announcedAt = now;
  document.getElementById("said").textContent = text;
}

function play() {
  if (S.playing) return pause();
  if (calm()) return nextMoment();
  if (at >= S.last * FRAME_S - 1e-6) at = S.first * FRAME_S;
  if (S.loop) range = range || loopRange();
  if (at === S.first * FRAME_S) sound.turn = 0;
  if (sound.on) device();
  stopOne();
  S.playing = true;
  putPlaying();
  before = performance.now();
  requestAnimationFrame(tick);
}

function pause() {
  if (!S.playing) return;
  S.playing = false;
  stopRun();
  seek(Math.round(at / FRAME_S) * FRAME_S);
  putPlaying();
}

function putPlaying() {
  parts.play.replaceChildren(icon(S.playing ? "pause" : "play"), el("span", { t: S.playing ? "pause" : calm() ? "next_moment" : "play" }));
  putTurn();
  putTexts();
}

let waited = 0;
function tick(now) {
  if (!S.playing) return;
  const seconds = Math.min((now - before) / 1000, 0.1);
  before = now;
  film += seconds;
  if (waited > 0) waited -= seconds;
  else at = inStep(at, seconds);
  const end = range ? range[1] : S.last * FRAME_S;
  if (at >= end) {
    stopRun();
    const again = otherTurn();
    if (S.loop) {
      const from = range ? range[0] : S.first * FRAME_S;
      waited = Math.max(0, LEAST_LOOP_S - (end - from) / S.speed);
      at = from;
    } else if (again) at = S.first * FRAME_S;
    else {
      at = end;
      show(seconds);
      return pause();
    }
  }
  show(seconds);
  announce();
  requestAnimationFrame(tick);
}

// Where nothing is to move: the next key moment as a still.
function nextMoment() {
  const half = S.view === "one" ? S.one : S.sound[0];
  const times = HALVES[half].moments.map(([time]) => time - S.zeros[half]);
  seek(times.find((time) => time > at + 0.004) ?? times[0]);
}

function spanNow() {
  const [half, sound] = S.sound;
  return { half, span: HALVES[half].spans[sound] };
}

function phaseStarts() {
  const { half, span } = spanNow(), starts = {}, zero = S.zeros[half];
  for (const [name, start, end] of span.phases) starts[name] = [start - zero, end - zero];
  if (span.events.voice !== null) starts.voice = [span.events.voice - zero, Math.max(span.end, span.events.voice + 0.08) - zero];
  return starts;
}

function loopRange() {
  const starts = Object.values(phaseStarts());
  return starts.find(([a, b]) => a <= at + 1e-6 && at < b - 1e-6) || starts[0];
}

function jump(name) {
  const found = phaseStarts()[name];
  if (!found) return;
  if (S.loop) range = found;
  const playing = S.playing;
  seek(name === "hold" || name === "steady" ? mix(found[0], found[1], playing ? 0 : 0.5) : found[0] + (playing ? 0 : 0.004));
}

function chooseSound(half, sound) {
  S.sound = [half, sound];
  if (S.view === "one") S.one = half;
  range = null;
  putView();
  const starts = phaseStarts(), first = starts.hold || starts.steady || Object.values(starts)[0];
  seek(mix(first[0], first[1], 0.5));
  if (!S.playing) hearSound(half, sound);
}

function flick() {
  if (!PAIR) return;
  S.one = 1 - S.one;
  S.view = "one";
  S.sound = [S.one, HALVES[S.one].focus];
  putView();
  seek(at);
}

// What can be pressed.

const parts = {
  play: button("play", { class: "main" }),
  slider: el("input", { type: "range", id: "slider", label: "position", step: 1 }),
  clock: el("output", { class: "clock", id: "clock" }),
  line: el("div", { class: "now", "aria-hidden": "true" }),
  tracks: el("canvas", { class: "tracks", role: "img", label: "tracks_label", id: "tracks" }),
  phases: {},
};
let lanes = { left: 0, right: 1 };

function group(name, options, chosen, pick, texts) {
  const made = el("div", { class: "choices", role: "group", label: name });
  for (const option of options) {
    const one = button(`${name}-${String(option).replace(".", "")}`, { t: texts(option), "data-value": option });
    one.addEventListener("click", () => pick(option));
    made.append(one);
  }
  made.put = () => {
    for (const one of made.children) one.setAttribute("aria-pressed", String(one.dataset.value === String(chosen())));
  };
  return made;
}

const speedGroup = group("speed", SPEEDS, () => S.speed, (value) => { S.speed = value; changed(); }, (v) => "speed_" + 100 * v);
const viewGroup = group("view", VIEWS, () => S.view, setView2, (v) => "view_" + v);
const alignGroup = group("align", EVENTS, () => S.align, (value) => { seek(putAlign(value)); changed(); redraw(); }, (v) => "align_" + v);

function setView2(value) {
  S.view = value;
  putView();
  changed();
  seek(at);
}

const phaseGroup = el("div", { class: "choices phases", role: "group", label: "phases" });
for (const name of ["approach", "hold", "steady", "release", "voice"]) {
  parts.phases[name] = button("phase-" + name, { t: name === "voice" ? "phase_voice" : "phase_" + name, on: { click: () => jump(name) } });
  phaseGroup.append(parts.phases[name]);
}
const phaseOf = el("span", { class: "of ipa", id: "phase-of" });

function putPhases() {
  const starts = phaseStarts(), { span } = spanNow();
  phaseOf.textContent = `[${span.symbol}]`;
  for (const [name, made] of Object.entries(parts.phases)) {
    const found = starts[name];
    made.hidden = name === "steady" ? !("steady" in starts) : "steady" in starts && name !== "voice";
    if (made.disabled !== !found) made.disabled = !found;
    made.setAttribute("aria-pressed", String(Boolean(found) && found[0] - 1e-6 <= at && at < found[1] - 1e-6));
  }
}

const loopButton = button("loop", { "aria-pressed": "false", label: "loop" }, icon("loop"));
loopButton.addEventListener("click", () => {
  S.loop = !S.loop;
  range = S.loop ? loopRange() : null;
  changed();
});
const swapButton = button("swap", {}, icon("swap"));
swapButton.addEventListener("click", flick);

function changed() {
  for (const made of [speedGroup, viewGroup, alignGroup, themeGroup]) made.put();
  for (const one of alignGroup.children) one.disabled = !possible.includes(one.dataset.value);
  loopButton.setAttribute("aria-pressed", String(S.loop));
  alignNote.textContent = PAIR ? say("align_note", { event: say("align_" + S.align) }) : "";
  writeAddress();
}

const themeGroup = group("theme", THEMES, () => S.theme, (value) => { putTheme(value); changed(); }, (v) => "theme_" + v);

function putTheme(value) {
  S.theme = THEMES.includes(value) ? value : "auto";
  document.documentElement.dataset.theme = S.theme;
  redraw();
}

function putView() {
  const shown = S.view === "one" ? [S.one] : [...HALVES.keys()];
  parts.halves.dataset.view = S.view;
  stages.forEach((stage, half) => {
    stage.all.hidden = !shown.includes(half);
    stage.side.hidden = S.view === "over" && half > 0;
    stage.row = null;
  });
  swapButton.hidden = !PAIR || S.view !== "one";
  const other = PAIR ? HALVES[1 - S.one].name : "";
  swapButton.setAttribute("aria-label", say("show_other", { name: other }));
  swapButton.title = say("show_other", { name: other });
  viewGroup.put();
}

function redraw() {
  readColours();
  if (!parts.tracks.isConnected) return;
  parts.tracks.style.height = tracksHeight(HALVES.length) + "px";
  lanes = drawTracks(parts.tracks, {
    from: S.first * FRAME_S, to: S.last * FRAME_S, zeros: S.zeros, colours: COLOURS, say,
    font: getComputedStyle(document.body).fontFamily,
  });
  parts.slider.min = String(S.first);
  parts.slider.max = String(S.last);
  show(0);
  drawCompared();
  drawMoments();
  drawPalatograms();
}

// The address after #: what another opens to see the same.

function writeAddress() {
  if (S.playing) return;
  const state = new URLSearchParams();
  state.set("sound", (S.sound[0] ? "b" : "a") + S.sound[1]);
  state.set("frame", String(Math.round(at / FRAME_S)));
  state.set("speed", String(S.speed));
  state.set("view", S.view === "one" && PAIR ? (S.one ? "second" : "first") : S.view);
  if (PAIR) state.set("align", S.align);
  if (S.loop) state.set("loop", "1");
  if (embedded) state.set("embed", "1");
  if (S.theme !== "auto") state.set("theme", S.theme);
  if (language !== DATA.language) state.set("lang", language);
  const text = "#" + state.toString();
  if (text === written || text === location.hash) return;
  written = text;
  try {
    history.replaceState(null, "", text);
  } catch {
    // a frame that may not touch its address still shows everything
  }
}

function readAddress() {
  const state = new URLSearchParams(location.hash.slice(1));
  const sound = /^([ab])(\d+)$/.exec(state.get("sound") || "");
  if (sound) {
    const half = sound[1] === "b" ? 1 : 0;
    if (HALVES[half] && HALVES[half].spans[Number(sound[2])]) S.sound = [half, Number(sound[2])];
  }
  if (SPEEDS.includes(Number(state.get("speed")))) S.speed = Number(state.get("speed"));
  const view = state.get("view");
  if (PAIR && ["first", "second"].includes(view)) {
    S.view = "one";
    S.one = view === "second" ? 1 : 0;
    if (!sound) S.sound = [S.one, HALVES[S.one].focus];
  } else if (PAIR && VIEWS.includes(view)) S.view = view;
  S.loop = state.get("loop") === "1";
  embedded = embedded || state.get("embed") === "1";
  document.documentElement.toggleAttribute("data-embedded", embedded);
  if (DATA.messages[state.get("lang")]) language = state.get("lang");
  putTheme(state.get("theme") || "auto");
  putAlign(state.get("align") || S.align);
  const frame = Number(state.get("frame"));
  if (state.has("frame") && Number.isInteger(frame)) at = limited(frame, S.first, S.last) * FRAME_S;
}
