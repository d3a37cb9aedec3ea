// What is heard: each text's clip, in step with the picture while it plays, and words and sounds by themselves when they
// are asked for. Nothing sounds before a press; whether a film has its sound is remembered on this device.

const CLIP_HZ = 48000, REMEMBERED = "vocaltract-sound", LONGEST_STILL_S = 0.3;
const sound = { on: false, turn: 0, waves: HALVES.map(() => null), slowed: new Map(), out: null, one: null, run: null, failed: false };

// Clips as samples at CLIP_HZ, without a device being opened. A browser that does not pass over the encoder's first frame
// gives more than the clip has: that much is dropped.
const decoded = Promise.all(HALVES.map(async (half, number) => {
  const reader = new OfflineAudioContext(1, 1, CLIP_HZ), bytes = bytesOf(PAGE.clips[number]);
  const buffer = await reader.decodeAudioData(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
  const wave = buffer.getChannelData(0), count = Math.round(half.sound.clip * CLIP_HZ), frame = (1024 * CLIP_HZ) / DATA.stretching.clip_hz;
  const late = wave.length - count > frame * 0.9 ? Math.round(frame) : 0, whole = new Float32Array(Math.round(half.sound.seconds * CLIP_HZ));
  whole.set(wave.slice(late, late + count), Math.round(half.sound.before * CLIP_HZ));
  sound.waves[number] = whole;
})).catch(() => {
  sound.failed = true;
  sound.on = false;
  putSound();
});

function remembered() {
  try {
    return localStorage.getItem(REMEMBERED) === "on";
  } catch {
    return false; // a frame that may keep nothing
  }
}

function remember() {
  try {
    localStorage.setItem(REMEMBERED, sound.on ? "on" : "off");
  } catch {
    // it then counts until the page is closed
  }
}

// The clip of a half at a speed; what was slowed last is kept.
function clipAt(half, speed) {
  const key = half + "@" + speed;
  if (speed === 1) return sound.waves[half];
  if (!sound.slowed.has(key)) {
    if (sound.slowed.size >= 4) sound.slowed.delete(sound.slowed.keys().next().value);
    sound.slowed.set(key, stretched(sound.waves[half], CLIP_HZ, speed, HALVES[half].sound.transients));
  }
  return sound.slowed.get(key);
}

// The device, opened at the first press that wants it.
function device() {
  if (!sound.out) {
    const made = new AudioContext({ latencyHint: "interactive" }), gain = made.createGain();
    gain.connect(made.destination);
    sound.out = { context: made, gain };
  }
  if (sound.out.context.state !== "running") sound.out.context.resume();
  return sound.out;
}

function sourceOf(wave) {
  const { context, gain } = device(), source = context.createBufferSource(), buffer = context.createBuffer(1, wave.length, CLIP_HZ);
  buffer.copyToChannel(wave, 0);
  source.buffer = buffer;
  source.connect(gain);
  return source;
}

// When what is heard now was asked for, on the context's clock.
function heardAt(context) {
  const { contextTime, performanceTime } = context.getOutputTimestamp ? context.getOutputTimestamp() : {};
  if (contextTime > 0 && performanceTime > 0) return Math.min(contextTime + (performance.now() - performanceTime) / 1000, context.currentTime);
  return context.currentTime - (context.outputLatency || context.baseLatency || 0);
}

// Which half is heard with the picture: the one that is shown, or first one and then the other of two in step.
const turnOf = () => (S.view === "one" ? S.one : sound.turn);

function stopRun() {
  if (!sound.run) return;
  sound.run.source.stop();
  sound.run = null;
}

function stopOne() {
  if (!sound.one) return;
  for (const source of sound.one) source.stop();
  sound.one = null;
}

// Where the picture is to be after `seconds`: where the sound is, if there is any. The sound begins anew where somebody
// else has moved the picture, or chosen another half or speed.
function inStep(at, seconds) {
  const on = at + seconds * S.speed, half = turnOf();
  if (!sound.on || !sound.waves[half] || !sound.out || sound.out.context.state !== "running") return on;
  const { context } = sound.out, { run } = sound;
  if (!run || run.half !== half || run.speed !== S.speed || run.at !== at) {
    stopRun();
    const from = (at + S.zeros[half]) / S.speed, source = sourceOf(clipAt(half, S.speed)), starts = context.currentTime + 0.01;
    source.start(starts + Math.max(0, -from), Math.max(0, from));
    sound.run = { source, half, speed: S.speed, at, from: at, starts, since: performance.now(), clock: -1 };
    return at;
  }
  const now = heardAt(context);
  if (now !== run.clock) Object.assign(run, { clock: now, since: performance.now() });
  if (performance.now() - run.since > 1000 * LONGEST_STILL_S) return (run.at = on); // a device that stands still holds no picture
  return (run.at = Math.max(at, run.from + (now - run.starts) * S.speed));
}

// At the end of a film of two: True where the other one is now to be heard.
function otherTurn() {
  if (!sound.on || !sound.waves[0] || !PAIR || S.view === "one") return false;
  sound.turn = 1 - sound.turn;
  putTurn();
  return sound.turn === 1;
}

function putTurn() {
  stages.forEach((stage, number) => stage.all.toggleAttribute("data-heard", sound.on && S.playing && number === turnOf()));
}

// Samples by themselves, one after the other with a pause between.
async function hear(waves) {
  stopOne();
  pause();
  const { context } = device(), sources = [];
  await decoded;
  if (sound.failed) return;
  let when = context.currentTime + 0.01;
  for (const wave of waves()) {
    const source = sourceOf(wave);
    source.start(when);
    when += wave.length / CLIP_HZ + DATA.stretching.between_s;
    sources.push(source);
  }
  sound.one = sources;
}

// What of a clip is said: without the rest before and after.
function word(half) {
  const [from, to] = HALVES[half].speech;
  return cut(half, from - 0.05, to + 0.15);
}

function cut(half, from, to) {
  const [a, b] = [from, to].map((t) => Math.round(limited(t, 0, HALVES[half].sound.seconds) * CLIP_HZ));
  const made = sound.waves[half].slice(a, b), fade = Math.min(Math.round(0.008 * CLIP_HZ), made.length >> 1);
  for (let i = 0; i < fade; i++) {
    made[i] *= i / fade;
    made[made.length - 1 - i] *= i / fade;
  }
  return made;
}

function hearSound(half, number) {
  if (!sound.on) return;
  const span = HALVES[half].spans[number], around = DATA.stretching.around_s;
  hear(() => [cut(half, span.start - around, span.end + around)]);
}

// What can be pressed.

const soundButton = button("sound", { "aria-pressed": "false", label: "sound" }, icon("heard"));
soundButton.addEventListener("click", () => {
  sound.on = !sound.on && !sound.failed;
  if (sound.on) device();
  else {
    stopRun();
    stopOne();
  }
  remember();
  putSound();
});

const VOICE_NOTE = HALVES.some((half) => half.sound.recorded) ? "voice_recorded" : "voice_computed";
const hearButtons = HALVES.map((_, half) => {
  const made = button("hear-" + half, { class: "hear" }, icon("heard"), el("span", { t: half ? "hear_b" : "hear_a" }));
  made.addEventListener("click", () => hear(() => [word(half)]));
  return made;
});
const hearBoth = button("hear-both", { class: "hear" }, icon("heard"), el("span", { t: "hear_both" }));
hearBoth.addEventListener("click", () => hear(() => HALVES.map((_, half) => word(half))));
const soundNote = el("p", { class: "small", id: "voice-note", t: VOICE_NOTE });

function soundBar() {
  return el("div", { class: "bar sounds", role: "group", label: "sound" }, ...hearButtons, PAIR ? hearBoth : null, soundNote);
}

function putSound() {
  soundButton.setAttribute("aria-pressed", String(sound.on));
  soundNote.dataset.t = sound.failed ? "voice_absent" : VOICE_NOTE;
  for (const made of [soundButton, hearBoth, ...hearButtons]) made.disabled = sound.failed;
  putTurn();
  putTexts();
}

sound.on = remembered();
