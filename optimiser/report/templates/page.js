"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const two = (number) => String(number).padStart(2, "0");
  const now = new Date();
  const today = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;

  for (const lunch of document.querySelectorAll(".lunch")) {
    if (lunch.dataset.date === today) {
      lunch.classList.add("today");
      lunch.querySelector("details").open = true;
    }
  }

  // Paper has nothing to tap: every lunch is printed whole.
  const closed = [];
  addEventListener("beforeprint", () => {
    for (const details of document.querySelectorAll("details:not([open])")) {
      closed.push(details);
      details.open = true;
    }
  });
  addEventListener("afterprint", () => {
    for (const details of closed.splice(0)) { details.open = false; }
  });

  // Ticks stay on this phone; a browser that keeps nothing still lets one tick.
  const key = `clearfridge ${data.id}`;
  const kept = () => {
    try { return new Set(JSON.parse(localStorage.getItem(key) || "[]")); } catch { return new Set(); }
  };
  const boxes = [...document.querySelectorAll(".tick input")];
  const ticked = kept();
  for (const box of boxes) {
    box.checked = ticked.has(box.id);
    box.addEventListener("change", () => {
      const all = boxes.filter((box) => box.checked).map((box) => box.id);
      try { localStorage.setItem(key, JSON.stringify(all)); } catch { /* it is still ticked */ }
    });
  }

  const line = (label, text) => {
    const item = document.createElement("li");
    const day = document.createElement("b");
    day.textContent = label;
    const what = document.createElement("span");
    what.textContent = text;
    item.append(day, what);
    return item;
  };
  for (const place of document.querySelectorAll(".slider")) {
    const slider = data.sliders[Number(place.dataset.slider)];
    const input = place.querySelector("input");
    const show = () => {
      const volume = slider.volumes[Number(input.value)];
      place.querySelector("output").textContent = volume.text;
      input.setAttribute("aria-valuetext", volume.text);
      place.querySelector(".came").textContent = volume.came;
      place.querySelector("ol").replaceChildren(
        ...volume.lunches.map((lunch) => line(lunch.day, lunch.text)),
      );
    };
    input.addEventListener("input", show);
    show();
  }
})();
