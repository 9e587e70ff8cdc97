// Sends what is changed, puts in place what the program draws anew, and lets sowings be dragged. It draws nothing itself.
"use strict";
const sheet = document.getElementById("sheet");
if (sheet) {
  let version = Number(sheet.dataset.version) || 0;
  let waits = false; // something new came while somebody was writing
  let newest = 0; // number of the last request: an older answer is dropped
  let pressing = false; // nothing is replaced under a finger
  let sending = false; // the answer to what was sent is the newest there is

  const isWriting = () => {
    const at = document.activeElement;
    return at && sheet.contains(at) && at.matches("input[type=text], input[type=date]") && at.value !== at.defaultValue;
  };
  const showDoing = (words, work, all) => {
    const doing = document.getElementById("doing");
    const bar = document.getElementById("progress");
    if (doing) doing.textContent = words ? words + " …" : "";
    if (bar) {
      bar.hidden = !all;
      if (all) bar.value = (100 * work) / all;
    }
  };

  // Puts a newer sheet in place; who reads or writes stays where he is.
  const put = (text) => {
    const at = document.activeElement;
    const id = at && sheet.contains(at) ? at.id : "";
    const marks = id && at.matches("input[type=text]") ? [at.selectionStart, at.selectionEnd] : null;
    const open = new Map([...sheet.querySelectorAll("details[id]")].map((one) => [one.id, one.open]));
    const across = new Map([...sheet.querySelectorAll(".scroll, .lanes-box")].map((one, place) => [place, one.scrollLeft]));
    const down = window.scrollY;
    sheet.innerHTML = text;
    for (const one of sheet.querySelectorAll("details[id]")) if (open.has(one.id)) one.open = open.get(one.id) || one.open;
    [...sheet.querySelectorAll(".scroll, .lanes-box")].forEach((one, place) => (one.scrollLeft = across.get(place) || 0));
    const main = sheet.querySelector("main");
    version = Math.max(version, Number(main && main.dataset.version) || 0);
    center();
    const back = id && document.getElementById(id);
    if (back) {
      back.focus({ preventScroll: true });
      if (marks && back.matches("input[type=text]")) back.setSelectionRange(...marks);
    }
    window.scrollTo(0, down);
  };
  // What nobody asked for does not come under a finger, nor in place of what is being written.
  const ask = async (address, options = {}, unasked = false) => {
    const number = ++newest;
    try {
      const answer = await fetch(address, { ...options, headers: { ...options.headers, "x-part": "1" } });
      const text = await answer.text();
      if (number !== newest) return false;
      if (unasked && (pressing || isWriting())) {
        waits = true;
        return false;
      }
      if (!answer.ok) throw new Error(text);
      put(text);
      return true;
    } catch (error) {
      if (number === newest && !(error instanceof TypeError)) window.alert(error.message);
      return false;
    }
  };
  const look = () => {
    if (isWriting() || sending || pressing) {
      waits = true;
      return;
    }
    waits = false;
    ask(location.pathname + location.search, {}, true);
  };

  const send = async (form, button) => {
    const fields = new FormData(form, button || undefined);
    if (form.method === "get") {
      const query = new URLSearchParams([...fields].filter(([, value]) => value !== ""));
      history.replaceState(null, "", form.getAttribute("action") + (query.size ? "?" + query : ""));
      await ask(location.pathname + location.search);
      return;
    }
    sending = true;
    const done = await ask(form.getAttribute("action"), { method: "POST", body: new URLSearchParams(fields) });
    sending = false;
    if (waits) setTimeout(look, 0);
    const offer = document.getElementById("offer");
    if (done && form.getAttribute("action") === "/do/try" && offer) {
      offer.scrollIntoView({ block: "start" });
      offer.focus({ preventScroll: true });
    }
  };
  sheet.addEventListener("submit", (event) => {
    event.preventDefault();
    send(event.target, event.submitter);
  });
  sheet.addEventListener("change", (event) => {
    const form = event.target.form;
    if (form && (form.hasAttribute("data-now") || event.target.hasAttribute("data-now"))) send(form);
  });
  const press = () => (pressing = true);
  const release = () => setTimeout(() => ((pressing = false), waits && look()), 50);
  window.addEventListener("pointerdown", press, true);
  for (const kind of ["pointerup", "pointercancel"]) window.addEventListener(kind, release, true);
  // The window's own: a press moves the focus, and the field that loses it must not end the press.
  window.addEventListener("blur", (event) => event.target === window && release());
  window.addEventListener("keydown", (event) => event.key === " " && event.target.closest("button, summary") && press(), true);
  window.addEventListener("keyup", (event) => event.key === " " && release(), true);
  sheet.addEventListener("focusout", () => waits && setTimeout(look, 150));
  // A sowing is looked at without leaving the page.
  sheet.addEventListener("click", async (event) => {
    const bar = event.target.closest("a.bar");
    if (!bar || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (dragged) return;
    history.replaceState(null, "", bar.getAttribute("href").split("#")[0]);
    if (await ask(location.pathname + location.search)) {
      const chosen = document.getElementById("chosen");
      if (chosen) {
        chosen.scrollIntoView({ block: "nearest" });
        chosen.focus({ preventScroll: true });
      }
    }
  });

  // A sowing dragged to another week or bed: the program finds the nearest day on which it works and shows the effect.
  let drag = null;
  let dragged = false;
  const MOVED_PX = 6;
  sheet.addEventListener("pointerdown", (event) => {
    dragged = false;
    const bar = event.target.closest("a.bar[data-key]");
    if (bar && event.button === 0) drag = { bar, x: event.clientX, y: event.clientY };
  });
  sheet.addEventListener("dragstart", (event) => event.target.closest && event.target.closest("a.bar") && event.preventDefault());
  window.addEventListener("pointermove", (event) => {
    if (!drag) return;
    const [right, down] = [event.clientX - drag.x, event.clientY - drag.y];
    if (!dragged && Math.hypot(right, down) < MOVED_PX) return;
    dragged = true;
    const lanes = drag.bar.ownerSVGElement;
    const scale = lanes.viewBox.baseVal.width / lanes.getBoundingClientRect().width;
    drag.bar.classList.add("dragged");
    drag.bar.setAttribute("transform", `translate(${right * scale} ${down * scale})`);
  });
  window.addEventListener("pointercancel", () => {
    if (drag) drag.bar.removeAttribute("transform");
    drag = null;
  });
  window.addEventListener("pointerup", (event) => {
    const held = drag;
    drag = null;
    if (!held || !dragged) return;
    setTimeout(() => (dragged = false), 0);
    const lanes = held.bar.ownerSVGElement;
    const box = lanes.getBoundingClientRect();
    const weeks = Math.round(((event.clientX - held.x) / box.width) * Number(lanes.dataset.weeks));
    const under = [...lanes.querySelectorAll("g.bed")].find((bed) => {
      const own = bed.getBoundingClientRect();
      return event.clientY >= own.top && event.clientY <= own.bottom;
    });
    const [bed, , sow] = held.bar.dataset.key.split("|");
    const day = new Date(sow + "T00:00:00Z");
    day.setUTCDate(day.getUTCDate() + 7 * weeks);
    const form = document.getElementById("drag");
    form.elements.at.value = held.bar.dataset.key;
    form.elements.bed.value = under ? under.dataset.bed : bed;
    form.elements.sow.value = day.toISOString().slice(0, 10);
    held.bar.removeAttribute("transform");
    send(form);
  });
  window.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && drag) {
      drag.bar.removeAttribute("transform");
      drag = null;
    }
  });

  // Values of a drawing: pointed at, touched, or walked through with the arrow keys.
  const read = (spot) => {
    const figure = spot.closest("figure");
    const out = figure && figure.querySelector(".reading");
    if (!out) return;
    for (const other of figure.querySelectorAll(".spot.on")) other.classList.remove("on");
    spot.classList.add("on");
    out.textContent = spot.querySelector("title").textContent;
  };
  for (const kind of ["pointerover", "click"]) {
    sheet.addEventListener(kind, (event) => event.target.classList.contains("spot") && read(event.target));
  }
  sheet.addEventListener("keydown", (event) => {
    if (!event.target.classList.contains("plot")) return;
    const spots = [...event.target.querySelectorAll(".spot")];
    const at = spots.findIndex((spot) => spot.classList.contains("on"));
    const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
    let next;
    if (event.key === "Home") next = 0;
    else if (event.key === "End") next = spots.length - 1;
    else if (event.key in steps) next = (Math.max(at, steps[event.key] > 0 ? -1 : 0) + steps[event.key] + spots.length) % spots.length;
    else return;
    event.preventDefault();
    if (spots[next]) read(spots[next]);
  });

  // On a narrow screen the questions run sideways: the one that is open stands in view.
  const center = () => {
    const at = sheet.querySelector("nav a[aria-current]");
    const list = at && at.closest("ul");
    if (list) list.scrollLeft = at.offsetLeft - list.offsetLeft - (list.clientWidth - at.offsetWidth) / 2;
  };
  center();

  // What is new is told by the program; the sheet is then asked for anew.
  let lost = 0;
  const listen = () => {
    const told = new EventSource("/events");
    told.addEventListener("message", (event) => {
      lost = 0;
      document.getElementById("gone").hidden = true;
      const tick = JSON.parse(event.data);
      showDoing(tick.doing, tick.work, tick.all);
      if (tick.version > version) {
        version = tick.version;
        look();
      }
    });
    told.addEventListener("error", () => {
      lost += 1;
      if (lost > 1) document.getElementById("gone").hidden = false;
    });
  };
  listen();
}
