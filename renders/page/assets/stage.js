// What is drawn of the two halves at a moment, in the colours of the page.

const COLOURS = {};

function readColours() {
  const style = getComputedStyle(document.documentElement);
  for (const role of DATA.roles) COLOURS[role] = style.getPropertyValue("--" + role.replace("_", "-")).trim();
}

// The tint of held air that is shown: what is let go fades, so that it is no flash.
function heldOf(parts, shape, seconds) {
  const now = pressureAt(shape), level = Math.max(now, (seconds ? parts.held?.level ?? 0 : 0) - seconds / DATA.playing.fades_s);
  return (parts.held = { level, rings: now || !parts.held ? heldRings(shape) : parts.held.rings });
}

const driftAt = (seconds) => (calm() ? 0 : (seconds * DATA.marks.drift_hz) % 1);

// Draws what is seen of the halves at a time of the common clock.
function drawStages(now, film, seconds) {
  const drift = driftAt(film), shown = S.view === "one" ? [S.one] : [...HALVES.keys()];
  const shapes = shown.map((half) => shapeAt(half, now + S.zeros[half]));
  shapes.forEach((shape, i) => {
    const parts = stages[shown[i]], held = heldOf(parts, shape, seconds);
    if (S.view !== "over") drawSide(parts.side, shape, { held, drift, colours: COLOURS });
    else if (i === 0) drawSide(parts.side, shape, { other: shapes[1], drift, colours: COLOURS });
    for (const name of ["folds", "lips"]) drawInset(parts[name], name, shape, drift, COLOURS);
    if (parts.palate) drawPalatogram(parts.palate, shown[i], shape.time, COLOURS);
    putState(shown[i], shape.time);
  });
}
