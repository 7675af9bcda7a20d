const sound = new Audio();
const press = document.getElementById("press");
const back = document.getElementById("back");
const once = document.getElementById("once");
const choices = document.getElementById("choices");
const place = document.getElementById("place");
const shown = document.getElementById("told");
const trouble = document.getElementById("trouble");
const say = told.words;
const loaded = new Map();
// which story is told, which of its pieces, and whether that has sounded to its end
let chosen = 0;
let here = 0;
let over = false;

function element(tag, name, text, lang, dir) {
  const made = document.createElement(tag);
  if (name) { made.className = name; }
  made.textContent = text;
  if (lang) { made.lang = lang; }
  made.dir = dir || "auto";
  return made;
}

function pieces() { return told.choices[chosen].pieces; }

function address(index) {
  // a sound within a page is no address that every phone plays: it becomes a file of its own
  if (!loaded.has(index)) {
    const plain = atob(told.sounds[index].data);
    const bytes = new Uint8Array(plain.length);
    for (let at = 0; at < plain.length; at += 1) { bytes[at] = plain.charCodeAt(at); }
    loaded.set(index, URL.createObjectURL(new Blob([bytes], {type: told.sounds[index].type})));
  }
  return loaded.get(index);
}

function lineOf(line) {
  const made = element("div", "line", "");
  made.append(element("div", "words", line.words, told.language));
  for (const other of line.in) {
    made.append(element("div", "other", other.words, other.lang, other.dir));
  }
  for (const note of line.notes) { made.append(element("div", "note", note)); }
  return made;
}

function last() { return here === pieces().length - 1; }

function warning(piece) {
  return piece.first ? [element("p", "first", say.first.replace("{}", piece.first))] : [];
}

// what is done at a stop, and what comes next, is read before the next press
function stopped() {
  const piece = pieces()[here];
  const name = over ? "stop here" : "stop";
  const made = piece.then.map((words) => element("p", name, words));
  if (last()) {
    const words = told.choices[chosen].refrain ? say.rest : say.end;
    return [...made, element("p", name, words)];
  }
  const next = pieces()[here + 1];
  const after = over ? [element("p", "note", say.next), ...next.lines.map(lineOf)] : [];
  return [element("p", "note halt", say.stops), ...made, ...warning(next), ...after];
}

function show() {
  const piece = pieces()[here];
  // a reader that speaks is told of it once, and not again at every pause
  if (told.shown !== [chosen, here, over].join()) {
    told.shown = [chosen, here, over].join();
    shown.replaceChildren(...warning(piece), ...piece.lines.map(lineOf), ...stopped());
    const stop = over && (shown.querySelector(".here") || shown.querySelector(".halt"));
    if (stop) { stop.scrollIntoView({block: "start"}); }
  }
  const count = pieces().length;
  place.textContent = count > 1
    ? say.place.replace("{}", String(here + 1)).replace("{}", String(count)) : "";
  back.disabled = here === 0;
  const words = over ? (last() ? say.again : say.on) : (sound.paused ? say.play : say.pause);
  press.textContent = words;
}

function play() {
  const piece = pieces()[here];
  over = false;
  trouble.hidden = true;
  if (piece.sound === null) {
    over = true;
    show();
    return;
  }
  if (sound.dataset.index !== String(piece.sound)) {
    sound.src = address(piece.sound);
    sound.dataset.index = String(piece.sound);
  }
  sound.play().catch(cannot);
}

function cannot() {
  trouble.textContent = say.trouble;
  trouble.hidden = false;
}

function go(index) {
  sound.pause();
  here = index;
  over = false;
  if (sound.readyState) { sound.currentTime = 0; }
  delete sound.dataset.index;
  show();
}

function pressed() {
  if (!over) {
    if (sound.paused) { play(); } else { sound.pause(); }
    return;
  }
  const next = last() ? 0 : here + 1;
  const ended = last();
  go(next);
  if (!ended) {
    play();
    place.scrollIntoView({block: "start"});
  }
}

function choose(index) {
  chosen = index;
  Array.from(choices.children).forEach((button, at) => {
    button.setAttribute("aria-pressed", String(at === index));
  });
  go(0);
}

told.choices.forEach((choice, index) => {
  const made = element("button", "", choice.name, choice.refrain ? told.language : "");
  made.type = "button";
  made.addEventListener("click", () => choose(index));
  choices.append(made);
});
press.addEventListener("click", pressed);
back.addEventListener("click", () => { if (here > 0) { go(here - 1); } });
once.addEventListener("click", () => { go(here); play(); });
sound.addEventListener("play", show);
sound.addEventListener("pause", show);
sound.addEventListener("error", cannot);
sound.addEventListener("ended", () => { over = true; show(); });
choose(told.choices.length > 1 ? 0 : told.choices.length - 1);
