"""How the page that plays the versions looks and works."""

STYLE = """
:root{--paper:#FFFDF6;--ink:#1C1B22;--muted:#56545E;--line:#8A8790;--teal:#0A5A5F;
--amber:#7A3E00;--cream:#FFF1D6;--here:#CFE9E6;--plum:#6A2458}
@media (prefers-color-scheme:dark){:root{--paper:#1E1D24;--ink:#F3F0E8;--muted:#B4B0BC;
--line:#8A8790;--teal:#7FD6D2;--amber:#FFC477;--cream:#3A2E1C;--here:#12484C;--plum:#F0A6DA}}
*{box-sizing:border-box}
html{font:20px/1.4 Story,Verdana,sans-serif;color:var(--ink);background:var(--paper)}
body{margin:0;padding-bottom:15rem}
header,main{max-width:76rem;margin:0 auto;padding:1rem}
h1{font-size:1.9rem;line-height:1.15;margin:.4rem 0}
h2{font-size:1.15rem;margin:1.4rem 0 .5rem;color:var(--teal)}
p{margin:.4rem 0}
main{display:grid;gap:2rem}
@media (min-width:60rem){main{grid-template-columns:minmax(22rem,2fr) 3fr}}
.choices{display:flex;flex-wrap:wrap;gap:.5rem}
.choices.lines{flex-direction:column}
button{font:inherit;min-height:3.2rem;padding:.4rem 1rem;border:2px solid var(--teal);
border-radius:.6rem;background:var(--paper);color:var(--teal);text-align:left;cursor:pointer}
button .name{font-weight:700}
button .said{color:var(--ink);margin-left:.8rem}
button[aria-pressed=true]{background:var(--teal);color:var(--paper)}
button[aria-pressed=true] .said{color:var(--paper)}
button[aria-pressed=true] .name::before{content:"\\25B8\\00A0"}
button:disabled{border-color:var(--line);color:var(--muted);cursor:default}
button:focus-visible,input:focus-visible,li:focus-visible{outline:4px solid var(--plum);
outline-offset:2px}
#rows{list-style:none;margin:0;padding:0}
#rows li{padding:.45rem .8rem;border-left:.4rem solid transparent;cursor:pointer;
display:grid;grid-template-columns:4.6rem 1fr;column-gap:.6rem}
#rows li>span{grid-column:2}
#rows li>.label{grid-column:1}
#now{scroll-margin:1rem 0 19rem}
#rows li.here{background:var(--here);border-left-color:var(--teal)}
#rows li.here .label::before{content:"\\25B8\\00A0";color:var(--teal)}
#rows li.rest .line{color:var(--muted)}
#rows .label{color:var(--muted);font-size:.8rem;padding-top:.2rem;overflow-wrap:anywhere}
#rows .mine{color:var(--teal);font-size:.8rem;font-weight:700}
#rows .wait{background:var(--line);color:var(--paper);padding:.1rem .6rem;border-radius:.3rem;
display:inline-block}
@media (prefers-color-scheme:light){#rows .wait{background:var(--muted)}}
#rows .note{grid-column:2;justify-self:start;padding:.05rem .5rem;margin:.15rem 0;
font-size:.85rem;border-radius:.3rem}
#rows .warn{background:var(--cream);color:var(--amber);border:2px dashed var(--amber);}
#rows .prop{color:var(--teal);border:2px solid var(--teal)}
#trouble{background:var(--cream);color:var(--amber);padding:.6rem;border:2px dashed var(--amber)}
footer{position:fixed;left:0;right:0;bottom:0;background:var(--paper);
border-top:3px solid var(--teal);padding:.6rem 1rem}
.bar{display:flex;flex-wrap:wrap;gap:.5rem;align-items:center;max-width:74rem;margin:.2rem auto}
.bar input{flex:1;min-width:8rem;height:2.4rem;accent-color:var(--teal)}
.big{font-size:1.3rem;font-weight:700;min-width:8rem;background:var(--teal);color:var(--paper)}
.big:disabled{background:var(--paper);color:var(--muted)}
.keys{max-width:74rem;margin:.2rem auto;color:var(--muted);font-size:.75rem}
@media (max-width:40rem){.keys{display:none}.bar button{flex:1 1 28%;padding:.2rem .5rem;
font-size:.85rem}
.bar .big{font-size:1.2rem}}
@media print{footer{display:none}}
"""

SCRIPT = """
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
  now.textContent = chosen.kind + ": " + chosen.title;
  rows.replaceChildren(...chosen.rows.map(shown));
  for (const control of [play, back, before, next, again, place]) { control.disabled = false; }
  showLoop();
  showPlace();
  now.scrollIntoView({block: "nearest"});
}

function shown(row, index) {
  const item = element("li", row.mine ? "" : "rest", "");
  item.append(element("span", "label", row.label));
  const said = element("span", "", "");
  said.append(element("span", row.kind === "line" ? "line" : "wait", row.words));
  if (chosen.role && row.mine) { said.append(" ", element("span", "mine", "my part")); }
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
  trouble.textContent = "This sound can't be played. Look whether the folder \\u201csound\\u201d " +
    "still stands beside this page, and copy the whole set again if not.";
  trouble.hidden = false;
}

function showLoop() {
  again.setAttribute("aria-pressed", String(sound.loop));
  again.textContent = "Again and again: " + (sound.loop ? "on" : "off");
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
  time.textContent = clock(sound.currentTime) + (length ? " of " + clock(length) : "");
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
sound.addEventListener("play", () => { play.textContent = "Pause"; });
sound.addEventListener("pause", () => { play.textContent = "Play"; });
sound.addEventListener("ended", () => { play.textContent = "Play"; });
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
"""
