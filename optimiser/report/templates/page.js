"use strict";
(() => {
  const body = document.body;
  const views = [...document.querySelectorAll(".view")];
  const stops = [...document.querySelectorAll(".strip a")];
  const links = [...stops, ...document.querySelectorAll(".index a")];
  const who = document.querySelector(".who");
  const two = (number) => String(number).padStart(2, "0");
  const today = () => {
    const now = new Date();
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  };
  // A browser that keeps nothing still lets one tick.
  const keep = (key, value) => {
    try { localStorage.setItem(key, JSON.stringify(value)); } catch { /* it is ticked all the same */ }
  };
  const kept = (key, otherwise) => {
    try { return JSON.parse(localStorage.getItem(key)) ?? otherwise; } catch { return otherwise; }
  };

  // What one wants now: today's box, before it the next thing to do, after it what is left.
  const now = () => {
    const next = stops.find((stop) => stop.dataset.date >= today());
    return today() > body.dataset.last || !next ? "left" : next.hash.slice(1);
  };
  const show = () => {
    const named = document.getElementById(location.hash.slice(1));
    const asked = named?.closest(".view") ? named : document.getElementById(now());
    const view = asked.closest(".view");
    const alone = asked.matches("#prep .part");
    for (const other of views) {
      other.hidden = other !== view;
      // Paper has the sheet of the week, or the part that was asked for.
      other.classList.toggle("on-paper", other === view && asked === named && !view.matches(".day, .sheet"));
    }
    // A date of the prep days alone is shown alone.
    for (const part of document.querySelectorAll("#prep .part")) {
      part.hidden = alone && part !== asked;
    }
    if (who) { who.hidden = !view.matches(".day"); }
    for (const link of links) {
      if (link.hash === `#${alone ? asked.id : view.id}`) {
        link.setAttribute("aria-current", link.dataset.date === today() ? "date" : "true");
      } else {
        link.removeAttribute("aria-current");
      }
    }
    for (const place of document.querySelectorAll("[data-date]")) {
      place.classList.toggle("past", place.dataset.date < today());
    }
    if (asked === view || alone) { scrollTo(0, 0); } else { asked.scrollIntoView(); }
  };
  addEventListener("hashchange", show);
  // The contents are not a part: one goes there, and the part that is shown stays.
  const parts = document.getElementById("parts");
  document.querySelector(".about a").addEventListener("click", (event) => {
    event.preventDefault();
    parts.scrollIntoView();
    parts.focus({ preventScroll: true });
  });
  let shown = today();
  document.addEventListener("visibilitychange", () => {
    if (shown !== today()) { shown = today(); history.replaceState(null, "", "#"); show(); }
  });

  if (who) {
    const names = [...who.querySelectorAll("input")];
    const choose = (chosen) => {
      for (const place of document.querySelectorAll(".lunch")) {
        place.hidden = place.dataset.at !== chosen.value;
      }
      chosen.checked = true;
    };
    for (const name of names) {
      name.addEventListener("change", () => {
        keep("clearfridge eater", name.nextSibling.textContent);
        choose(name);
      });
    }
    const last = kept("clearfridge eater", "");
    choose(names.find((name) => name.nextSibling.textContent === last) ?? names[0]);
    // How many of a group have a lunch stays.
    const chosen = names.map((name) => name.nextSibling.textContent);
    for (const whose of document.querySelectorAll(".day .whose")) {
      whose.classList.toggle("seen-not", chosen.includes(whose.textContent));
    }
  }

  const key = `clearfridge ${body.dataset.id}`;
  const boxes = [...document.querySelectorAll(".tick input")];
  const ticked = new Set(kept(key, []));
  for (const box of boxes) {
    box.checked = ticked.has(box.id);
    box.addEventListener("change", () => {
      keep(key, boxes.filter((other) => other.checked).map((other) => other.id));
    });
  }

  for (const place of document.querySelectorAll(".volume")) {
    const [control, input] = [".control", "input"].map((name) => place.querySelector(name));
    const rows = [...place.querySelectorAll("tbody tr")];
    const set = () => {
      const at = Number(input.value);
      const head = rows[at].querySelector("th").textContent;
      const says = `${head}: ${rows[at].querySelector(".against").textContent}`;
      place.querySelector("output").textContent = says;
      input.setAttribute("aria-valuetext", head);
      rows.forEach((row, other) => row.classList.toggle("chosen", other === at));
      for (const button of place.querySelectorAll("button")) {
        const step = Number(button.dataset.step);
        button.disabled = step ? !rows[at + step] : input.value === place.dataset.now;
      }
    };
    for (const button of place.querySelectorAll("button")) {
      button.addEventListener("click", () => {
        const step = Number(button.dataset.step);
        input.value = step ? Number(input.value) + step : place.dataset.now;
        set();
      });
    }
    input.addEventListener("input", set);
    control.hidden = false;
    place.querySelector("details").open = false;
    set();
  }
  show();
})();
