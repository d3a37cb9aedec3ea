"use strict";
for (const film of document.querySelectorAll("video")) {
  const tools = film.parentElement.querySelector(".tools");
  const words = JSON.parse(tools.dataset.words);
  const add = (text, act) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = text;
    button.addEventListener("click", act);
    tools.append(button);
    return button;
  };
  const title = document.createElement("span");
  title.textContent = words.title;
  tools.append(title);
  const rates = words.rates.map(([text, rate]) => {
    const button = add(text, () => {
      film.playbackRate = film.defaultPlaybackRate = rate;
      for (const other of rates) other.setAttribute("aria-pressed", String(other === button));
    });
    button.setAttribute("aria-pressed", String(rate === 1));
    return button;
  });
  const gap = document.createElement("span");
  gap.className = "gap";
  tools.append(gap);
  const step = (pictures) => {
    film.pause();
    const go = () => {
      const last = Math.round(film.duration / words.frame_s) - 1;
      const now = Math.floor(film.currentTime / words.frame_s + 0.01);
      film.currentTime = (Math.min(Math.max(now + pictures, 0), last) + 0.5) * words.frame_s;
    };
    if (film.readyState > 0) go();
    else {
      film.addEventListener("loadedmetadata", go, { once: true });
      film.load();
    }
  };
  add(words.back, () => step(-1));
  add(words.on, () => step(1));
}
