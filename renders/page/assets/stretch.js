// A clip slowed at its own pitch, in step with a picture of one speed. Bursts and taps stay at natural speed: each begins
// with its picture, and the sound then waits until the picture has caught up (vocaltract/sound/pace.py).

// Pieces of a clip of `seconds`: { film, speech: [from, to], natural }, one after the other in both times.
function piecesAt(speed, seconds, transients) {
  const pieces = [];
  let film = 0, speech = 0, free = 0;
  const add = (filmTo, speechTo, natural) => {
    if (filmTo - film > 1e-9) pieces.push({ film: [film, filmTo], speech: [speech, speechTo], natural });
    film = filmTo;
    speech = speechTo;
  };
  transients.forEach(([from, to], i) => {
    const next = i + 1 < transients.length ? transients[i + 1][0] : seconds;
    const joins = Math.min(to + (to - from) * DATA.stretching.catches_up, next);
    if (speed >= 1 || from < free || joins <= to) return;
    add(from / speed, from, false);
    add(from / speed + to - from, to, true);
    add(joins / speed, joins, false);
    free = joins;
  });
  add(seconds / speed, seconds, speed === 1);
  return pieces;
}

// How alike `count` samples at a and at b are, -1 to 1, from every fourth of them.
function alike(wave, a, b, count) {
  let both = 0, first = 1e-9, second = 1e-9;
  for (let i = 0; i < count; i += 4) {
    const x = wave[a + i] || 0, y = wave[b + i] || 0;
    both += x * y;
    first += x * x;
    second += y * y;
  }
  return both / Math.sqrt(first * second);
}

// Lays a stretch of a clip over more or less time, in pieces that overlap by half, each moved so that periods meet.
// What lies before `least` or after `most` in the clip is not heard: it is a burst that comes later or has been.
function layGrains(wave, rate, speech, count, least, most) {
  const { grain_s, search_s, noise_below } = DATA.stretching, from = Math.round(speech[0] * rate), made = new Float32Array(count);
  const room = Math.max(2, Math.min(Math.round(grain_s * rate), Math.floor(0.6 * (most - least)))), hop = room >> 1, grain = 2 * hop;
  const reach = Math.round(search_s * rate), pace = ((speech[1] - speech[0]) * rate) / count;
  let before = from, noise = 1;
  for (let out = -hop; out < count; out += hop) {
    const ideal = from + Math.round((out + hop) * pace) - hop, low = Math.max(least, ideal - reach), high = Math.min(most - grain, ideal + reach);
    let best = out < 0 ? from - hop : limited(ideal, least, Math.max(least, most - grain)), most_alike = -2;
    if (out >= 0 && high > low) {
      for (let at = low; at <= high; at += 4) {
        const found = alike(wave, at, before + hop, hop);
        if (found > most_alike) [best, most_alike] = [at, found];
      }
      if (most_alike < noise_below) {
        noise = (noise * 16807) % 2147483647;
        best = low + Math.floor((noise / 2147483647) * (high - low));
      }
    }
    for (let i = Math.max(0, -out); i < grain && out + i < count; i++) {
      const at = best + i;
      if (at >= least && at < most) made[out + i] += (wave[at] || 0) * Math.sin((Math.PI * (i + 0.5)) / grain) ** 2;
    }
    before = best;
  }
  return made;
}

// The whole clip as a picture at `speed` wants it; its beginning lies at 0 of both times.
function stretched(wave, rate, speed, transients) {
  const pieces = piecesAt(speed, wave.length / rate, transients), fade = Math.round(DATA.stretching.fade_s * rate);
  const out = new Float32Array(Math.ceil(wave.length / speed));
  pieces.forEach((piece, k) => {
    const [a, b] = piece.film.map((t) => Math.round(t * rate)), from = Math.round(piece.speech[0] * rate);
    if (piece.natural) {
      const before = k ? fade : 0, after = k + 1 < pieces.length ? fade : 0;
      for (let i = -before; i < b - a + after; i++) {
        const share = Math.min(1, before ? (i + before + 1) / before : 1, after ? (b - a + after - i) / after : 1);
        if (a + i >= 0 && a + i < out.length) out[a + i] += share * (wave[from + i] || 0);
      }
      return;
    }
    const least = k && pieces[k - 1].natural ? from : 0, last = pieces.slice(k + 1).find((one) => one.natural);
    const most = last ? Math.round(last.speech[0] * rate) : wave.length, made = layGrains(wave, rate, piece.speech, b - a, least, most);
    const starts = k && pieces[k - 1].natural, ends = k + 1 < pieces.length && pieces[k + 1].natural;
    for (let i = 0; i < b - a; i++) {
      const share = Math.min(1, starts ? (i + 1) / fade : 1, ends ? (b - a - i) / fade : 1);
      if (a + i < out.length) out[a + i] += share * made[i];
    }
  });
  return out;
}
