"use strict";
// Links and forms change the page in place, and what others find out is shown as it comes. Each of
// them works without this script too, as a page of its own.
(() => {
  const root = document.documentElement;
  // All is served below a path that no other program on this machine knows.
  const below = `/${location.pathname.split("/")[1]}`;
  const live = () => [...document.querySelectorAll("[data-live]")];
  const writing = () => {
    const at = document.activeElement;
    return at?.matches("textarea, select, input:not([type=checkbox])") ? at : null;
  };
  let asked = 0;
  let sent = 0;
  let shown = 0;
  let turned;
  let missed = false;

  // What is packed is ticked, and stays so as long as this browser keeps it.
  const ticks = () => {
    for (const box of document.querySelectorAll("[data-tick]")) {
      try { box.checked = localStorage.getItem(box.dataset.tick) !== null; } catch { /* unticked */ }
    }
  };
  document.addEventListener("change", (event) => {
    const key = event.target.dataset.tick;
    if (!key) { return; }
    try {
      if (event.target.checked) { localStorage.setItem(key, "1"); } else { localStorage.removeItem(key); }
    } catch { /* it is ticked all the same */ }
  });

  // What is typed in a form and not sent yet goes over to the next page, as long as that has the
  // same field of the same name. The form that is sent has its answer, and one that asks its address.
  const named = (field) => `${field.getAttribute("aria-label") ?? ""}${field.labels?.[0]?.textContent ?? ""}`;
  const typed = (sent) => [...document.querySelectorAll("#panel form[method=post] [id][name]")].filter((field) => {
    if (field.form === sent || field.type === "file") { return false; }
    if (field.matches("select")) { return ![...field.options].every((one) => one.selected === one.defaultSelected); }
    return field.type === "checkbox" ? field.checked !== field.defaultChecked : field.value !== field.defaultValue;
  });
  const carry = (fields) => {
    for (const was of fields) {
      const now = document.getElementById(was.id);
      if (!now || now === was || now.name !== was.name || named(now) !== was.dataset.named) { continue; }
      if (was.type === "checkbox") { now.checked = was.checked; continue; }
      if (was.matches("select") && ![...now.options].some((one) => one.value === was.value)) { continue; }
      now.value = was.value;
    }
  };

  const put = (page, kept, sent) => {
    const over = typed(sent);
    for (const field of over) { field.dataset.named = named(field); }
    const at = document.activeElement?.id;
    const opened = new Set([...document.querySelectorAll("details[open][id]")].map((part) => part.id));
    for (const part of live()) {
      const other = page.getElementById(part.id);
      if (!other) { continue; }
      if (kept && (part.contains(writing()) || part.querySelector("form[data-tries]"))) {
        // Nobody's half-written line is taken away by something that came meanwhile.
        for (const inner of part.querySelectorAll("[data-inner]")) {
          const then = page.getElementById(inner.id);
          if (then && !inner.contains(writing())) { inner.replaceWith(document.adoptNode(then)); }
        }
        for (const field of part.querySelectorAll("[aria-describedby]")) {
          const wrong = document.getElementById(field.getAttribute("aria-describedby"))?.querySelector(".refused");
          if (wrong) { field.setAttribute("aria-invalid", "true"); } else { field.removeAttribute("aria-invalid"); }
        }
        continue;
      }
      if (part.outerHTML !== other.outerHTML) { part.replaceWith(document.adoptNode(other)); }
    }
    carry(over);
    ticks();
    for (const id of opened) { document.getElementById(id)?.setAttribute("open", ""); }
    document.title = page.title;
    document.querySelector("main").className = page.querySelector("main").className;
    const news = document.getElementById("news");
    const stands = document.getElementById("stands").textContent.trim();
    if (news.textContent !== stands) { news.textContent = stands; }
    if (at && document.activeElement?.id !== at) {
      document.getElementById(at)?.focus({ preventScroll: true });
    }
  };

  const go = async (address, options, { push = true, kept = false, sent: form } = {}) => {
    if (kept && root.hasAttribute("aria-busy")) { missed = true; return false; }
    const mine = kept ? asked : ++asked;
    const number = ++sent;
    if (!kept) {
      // What was typed before is sent with it, and need not be tried any more.
      clearTimeout(turned);
      root.setAttribute("aria-busy", "true");
    }
    try {
      const answer = await fetch(address, options);
      const text = await answer.text();
      // An answer that was overtaken by a later one is out of date.
      if (mine !== asked || number < shown) { return false; }
      shown = number;
      const page = new DOMParser().parseFromString(text, "text/html");
      if (!page.getElementById("panel")) { location.assign(`${below}/`); return false; }
      put(page, kept, form);
      if (push && (!options || answer.redirected) && answer.url !== location.href) {
        history.pushState(null, "", answer.url);
      }
      return true;
    } catch {
      root.dataset.gone = "";
      return false;
    } finally {
      if (!kept && mine === asked) {
        // What was looked for meanwhile is of the page before.
        asked += 1;
        root.removeAttribute("aria-busy");
        if (missed) { missed = false; look(); }
      }
    }
  };

  const follow = (address) => go(address).then((there) => {
    const panel = document.getElementById("panel");
    if (!there) { return; }
    panel.focus({ preventScroll: true });
    // A long form is read from its top; one that begins where it is seen stays there.
    const seen = document.querySelector("main").matches(".sub") ? panel : document.getElementById("week");
    const { top } = seen.getBoundingClientRect();
    if (top < 0 || top > innerHeight / 2) { seen.scrollIntoView({ block: "start" }); }
  });

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-here]");
    if (!link || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) { return; }
    event.preventDefault();
    follow(link.href);
  });

  // A dish dragged onto a lunch is asked for there: its price comes before it is taken.
  let dragged = "";
  const under = (event) => {
    const lunch = dragged && event.target.closest?.("a.inside");
    return lunch && lunch.querySelector("b").textContent !== dragged ? lunch : null;
  };
  document.addEventListener("dragstart", (event) => {
    const link = event.target.closest?.("a[data-here]");
    dragged = link?.matches(".inside")
      ? link.querySelector("b").textContent
      : (link && new URL(link.href).searchParams.get("with")) ?? "";
  });
  for (const kind of ["dragover", "dragleave", "drop", "dragend"]) {
    document.addEventListener(kind, (event) => {
      const lunch = under(event);
      if (lunch && kind !== "dragleave") { event.preventDefault(); }
      lunch?.toggleAttribute("data-over", kind === "dragover");
      if (lunch && kind === "drop") { follow(`${lunch.href}?with=${encodeURIComponent(dragged)}`); }
      if (kind === "dragend") { dragged = ""; }
    });
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-here]")) { return; }
    event.preventDefault();
    if (form.method === "get") { trying(form); return; }
    const fields = new FormData(form, event.submitter);
    const body = form.enctype === "multipart/form-data" ? fields : new URLSearchParams(fields);
    go(event.submitter?.getAttribute("formaction") ?? form.action, { method: "POST", body }, { sent: form }).then(() => {
      // What is refused is gone to: the field that it is of, or what stands above all.
      document.querySelector('[aria-invalid="true"]')?.focus();
      document.getElementById("refusal")?.scrollIntoView({ block: "start" });
    });
  });

  // What is tried is shown as it is turned; the slider and the field beside it say the same.
  const trying = (form) => {
    if (form.dataset.tries) {
      go(form.dataset.tries, { method: "POST", body: new FormData(form) }, { push: false, kept: true });
      return;
    }
    const address = `${form.action}?${new URLSearchParams(new FormData(form))}`;
    history.replaceState(null, "", address);
    go(address, undefined, { push: false, kept: true });
  };
  document.addEventListener("input", (event) => {
    const form = event.target.closest("form[data-tries]");
    if (!form) { return; }
    if (event.target.type === "file") { return; }
    const twin = document.getElementById(event.target.dataset.twin);
    if (twin) { twin.value = event.target.value; }
    clearTimeout(turned);
    turned = setTimeout(() => trying(form), 120);
  });

  document.addEventListener("change", (event) => {
    const form = event.target.closest("form[data-tries]");
    if (form && event.target.type === "file") {
      go(form.dataset.tries, { method: "POST", body: new FormData(form) }, { push: false, sent: form });
    }
  });

  // A saved page may be dropped anywhere on the form that takes one; elsewhere it opens nothing.
  for (const kind of ["dragover", "drop"]) {
    document.addEventListener(kind, (event) => {
      if (![...event.dataTransfer.types].includes("Files")) { return; }
      event.preventDefault();
      const takes = "input[type=file]";
      const file = event.target.closest?.("form")?.querySelector(takes) ?? document.querySelector(takes);
      if (kind === "drop" && file) {
        file.files = event.dataTransfer.files;
        file.dispatchEvent(new Event("change", { bubbles: true }));
      }
    });
  }

  addEventListener("popstate", () => go(location.href, undefined, { push: false }));

  ticks();
  const events = new EventSource(`${below}/events`);
  const look = () => {
    // What is pasted there and not written yet is nowhere else.
    const form = writing()?.closest('form[data-tries^="/"]')
      ?? document.querySelector('form[data-tries$="/start/read"]');
    if (form) { trying(form); return; }
    go(location.href, undefined, { push: false, kept: true });
  };
  events.addEventListener("changed", look);
  events.addEventListener("open", () => { if ("gone" in root.dataset) { delete root.dataset.gone; look(); } });
  events.addEventListener("error", () => { root.dataset.gone = ""; });
  events.addEventListener("doing", (event) => {
    const doing = document.getElementById("doing");
    if (doing && event.data) { doing.textContent = event.data; }
  });
})();
