const sound = document.getElementById("sound");
const play = document.getElementById("play");
const back = document.getElementById("back");
const before = document.getElementById("before");
const next = document.getElementById("next");
const again = document.getElementById("again");
const place = document.getElementById("place");
const time = document.getElementById("time");
const rows = document.getElementById("rows");
const now = document.getElementById("now");
const trouble = document.getElementById("trouble");
let chosen = null;
let here = -1;

function element(tag, name, text) {
  const made = document.createElement(tag);
  made.className = name;
  made.textContent = text;
  made.dir = "auto";
  return made;
}

function choose(index) {
  chosen = entries[index];
  here = -1;
  sound.pause();
  trouble.hidden = true;
  sound.src = encodeURI(chosen.source);
  sound.loop = chosen.loops;
  for (const button of document.querySelectorAll("[data-entry]")) {
    button.setAttribute("aria-pressed", String(Number(button.dataset.entry) === index));
  }
  now.textContent = chosen.kind + ": \u2068" + chosen.title + "\u2069";
  rows.replaceChildren(...chosen.rows.map(shown));
  for (const control of [play, back, before, next, again, place]) { control.disabled = false; }
  // what lies on a board never goes on by itself
  again.disabled = chosen.stops;
  showLoop();
  showPlace();
  now.scrollIntoView({block: "nearest"});
}

function shown(row, index) {
  const item = element("li", row.mine ? "" : "rest", "");
  item.append(element("span", "label", row.label));
  const said = element("span", "", "");
  said.append(element("span", row.kind === "line" ? "line" : "wait", row.words));
  if (chosen.role && row.mine) { said.append(" ", element("span", "mine", texts.mine)); }
  const notes = row.notes.map(([kind, words]) => element("span", "note " + kind, words));
  const warns = notes.filter((note) => note.classList.contains("warn"));
  item.append(...warns, said, ...notes.filter((note) => !warns.includes(note)));
  item.addEventListener("click", () => go(index));
  return item;
}

function go(index) {
  if (!chosen || !chosen.rows.length) { return; }
  const wanted = Math.min(Math.max(index, 0), chosen.rows.length - 1);
  sound.currentTime = wanted === 0 ? 0 : chosen.rows[wanted].at;
  showPlace();
}

function toggle() {
  if (!chosen) { return; }
  if (sound.paused) {
    sound.play().catch(cannot);
  } else {
    sound.pause();
  }
}

function cannot() {
  trouble.textContent = texts.cannot;
  trouble.hidden = false;
}

function showLoop() {
  again.setAttribute("aria-pressed", String(sound.loop));
  again.textContent = sound.loop ? texts.loops : texts.once;
}

function clock(seconds) {
  const whole = Math.floor(seconds || 0);
  return Math.floor(whole / 60) + ":" + String(whole % 60).padStart(2, "0");
}

function showPlace() {
  const length = Number.isFinite(sound.duration) ? sound.duration : chosen.length;
  place.max = String(length || 1);
  place.value = String(sound.currentTime);
  place.setAttribute("aria-valuetext", clock(sound.currentTime));
  const at = clock(sound.currentTime);
  time.textContent = length ? texts.of.replace("TIME", at).replace("WHOLE", clock(length)) : at;
  let found = 0;
  const reached = sound.currentTime + 0.05;
  chosen.rows.forEach((row, index) => { if (row.at <= reached) { found = index; } });
  if (found === here) { return; }
  here = found;
  Array.from(rows.children).forEach((item, index) => {
    item.classList.toggle("here", index === here);
    if (index === here) {
      item.setAttribute("aria-current", "true");
      item.scrollIntoView({block: "center"});
    } else {
      item.removeAttribute("aria-current");
    }
  });
}

for (const button of document.querySelectorAll("[data-entry]")) {
  button.addEventListener("click", () => choose(Number(button.dataset.entry)));
}
play.addEventListener("click", toggle);
back.addEventListener("click", () => { sound.currentTime = Math.max(sound.currentTime - 5, 0); });
before.addEventListener("click", () => go(here - 1));
next.addEventListener("click", () => go(here + 1));
again.addEventListener("click", () => { sound.loop = !sound.loop; showLoop(); });
place.addEventListener("input", () => { sound.currentTime = Number(place.value); });
sound.addEventListener("timeupdate", showPlace);
sound.addEventListener("seeked", showPlace);
sound.addEventListener("loadedmetadata", showPlace);
sound.addEventListener("error", cannot);
sound.addEventListener("play", () => { play.textContent = texts.pause; });
sound.addEventListener("pause", () => { play.textContent = texts.play; });
sound.addEventListener("ended", () => { play.textContent = texts.play; });
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || !chosen) { return; }
  const onButton = event.target instanceof Element && event.target.closest("button");
  const onRange = event.target === place;
  if (event.key === " " && !onButton) { toggle(); }
  else if (event.key === "ArrowLeft" && !onRange) { back.click(); }
  else if (event.key === "ArrowUp" && !onRange) { go(here - 1); }
  else if (event.key === "ArrowDown" && !onRange) { go(here + 1); }
  else if (event.key.toLowerCase() === "l") { again.click(); }
  else { return; }
  event.preventDefault();
});
