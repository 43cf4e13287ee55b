// The page's side of the explorer. Python describes the controls and draws; here they stand and send what
// is wanted: one move at a time, and while Python draws, later ones replace each other.

function make(tag, properties = {}, ...children) {
  const element = Object.assign(document.createElement(tag), properties);
  element.append(...children);
  return element;
}

/** Fills a list with texts; those that stay are left alone, so that only what is new is read aloud. */
function fill(list, texts, tags) {
  if (list.children.length !== texts.length) {
    list.replaceChildren(...texts.map((_, place) => make(tags[place % tags.length])));
  }
  texts.forEach((text, place) => {
    const item = list.children[place];
    if (item.textContent !== text) item.textContent = text;
  });
}

/** Sends wishes to Python; the last position of each control wins. */
function sender(model) {
  let wanted = {};
  let busy = false;
  const send = () => {
    if (busy || Object.keys(wanted).length === 0) return;
    busy = true;
    model.set({ ...wanted, _move: model.get("_move") + 1 });
    wanted = {};
    model.save_changes();
  };
  const answered = () => {
    busy = false;
    send();
  };
  return {
    answered,
    want: (wishes) => {
      Object.assign(wanted, wishes);
      send();
    },
    now: (name) => (name in wanted ? wanted[name] : model.get(name)),
  };
}

/** Shows the bytes of a PNG in an image, and lets the former ones go. */
function show(image, bytes) {
  const former = image.src;
  const shown = bytes && bytes.byteLength > 0;
  if (shown) image.src = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
  image.hidden = !shown;
  if (former) URL.revokeObjectURL(former);
}

/** Makes one control; gives its row and what sets it to where Python stands. */
function control(spec, { want, now }, id) {
  const label = make("label", { textContent: spec.label, htmlFor: id });
  const name = spec.name;
  const nothing = Object.fromEntries((spec.resets ?? []).map((each) => [each, null]));
  if (spec.kind === "range") {
    const { min, max, step } = spec;
    const input = make("input", { type: "range", id, min, max, step });
    const output = make("output", { htmlFor: id });
    input.addEventListener("input", () => {
      output.textContent = input.value;
      want({ [name]: Number(input.value) });
    });
    const set = () => {
      const value = now(name) ?? spec.own[now("brushwork")] ?? min;
      if (Number(input.value) !== value) input.value = value;
      output.textContent = value;
    };
    return { row: make("div", {}, label, input, output), set };
  }
  if (spec.kind === "check") {
    const input = make("input", { type: "checkbox", id });
    input.addEventListener("change", () => want({ [name]: input.checked ? spec.on : spec.off }));
    const set = () => (input.checked = now(name) === spec.on);
    return { row: make("div", { className: "check" }, input, label), set };
  }
  const input = make("select", { id }, ...spec.options.map(([, text]) => make("option", { textContent: text })));
  input.addEventListener("change", () => want({ [name]: spec.options[input.selectedIndex][0], ...nothing }));
  const set = () => (input.selectedIndex = spec.options.findIndex(([value]) => value === now(name)));
  return { row: make("div", {}, label, input), set };
}

/** Makes the crop: a rectangle over the whole picture, by pointer or by its four sides as numbers. */
function crop(model, { want, now }, id) {
  const [width, height] = model.get("_source_size");
  const image = make("img", { alt: "The whole picture", draggable: false });
  const frame = make("div", { className: "frame" });
  const plate = make("div", { className: "plate" }, image, frame);
  show(image, model.get("_source"));
  const whole = [0, 0, width, height];
  const inputs = ["Left", "Top", "Right", "Bottom"].map((side, place) =>
    make("input", { type: "number", id: `${id}-${side}`, min: 0, max: whole[2 + (place % 2)], step: 1, title: side }),
  );
  const ask = (box) => {
    const [left, top, right, bottom] = box.map((value, place) =>
      Math.round(Math.min(Math.max(value, 0), whole[2 + (place % 2)])),
    );
    if (right <= left || bottom <= top) return;
    const all = left === 0 && top === 0 && right === width && bottom === height;
    want({ crop: all ? null : [left, top, right, bottom] });
    set();
  };
  const set = () => {
    const [left, top, right, bottom] = now("crop") ?? whole;
    [left, top, right, bottom].forEach((value, place) => {
      if (document.activeElement !== inputs[place]) inputs[place].value = value;
    });
    const share = (value, side) => `${(100 * value) / side}%`;
    frame.style.left = share(left, width);
    frame.style.top = share(top, height);
    frame.style.width = share(right - left, width);
    frame.style.height = share(bottom - top, height);
  };
  for (const input of inputs) {
    input.addEventListener("input", () => {
      if (inputs.every((each) => each.value !== "")) ask(inputs.map((each) => each.valueAsNumber));
    });
    input.addEventListener("blur", set);
  }
  let start = null;
  const at = (event) => {
    const box = plate.getBoundingClientRect();
    return [((event.clientX - box.left) / box.width) * width, ((event.clientY - box.top) / box.height) * height];
  };
  plate.addEventListener("pointerdown", (event) => {
    start = at(event);
    plate.setPointerCapture(event.pointerId);
  });
  plate.addEventListener("pointermove", (event) => {
    if (start === null) return;
    const [x, y] = at(event);
    ask([Math.min(x, start[0]), Math.min(y, start[1]), Math.max(x, start[0]), Math.max(y, start[1])]);
  });
  for (const end of ["pointerup", "pointercancel"]) plate.addEventListener(end, () => (start = null));
  const button = make("button", { type: "button", textContent: "Whole picture" });
  button.addEventListener("click", () => ask(whole));
  const sides = inputs.map((input) => make("label", { htmlFor: input.id }, input.title, input));
  const numbers = make("div", { className: "sides" }, ...sides, button);
  const row = make("details", {}, make("summary", { textContent: "Crop" }), plate, numbers);
  return { row, set };
}

let views = 0;

function render({ model, el }) {
  const wishes = sender(model);
  const id = `squarewright-${(views += 1)}`;
  const image = make("img", { className: "grid" });
  const error = make("p", { className: "error", role: "alert" });
  const facts = make("dl", { ariaLive: "polite" });
  const notes = make("ul", { ariaLive: "polite" });
  const form = make("form");
  form.addEventListener("submit", (event) => event.preventDefault());
  let controls = [];

  const build = () => {
    controls = model.get("_controls").map((spec) => ({ spec, ...control(spec, wishes, `${id}-${spec.name}`) }));
    controls.push({ spec: {}, ...crop(model, wishes, `${id}-crop`) });
    form.replaceChildren(...controls.map(({ row }) => row));
    // JupyterLab would take arrows from whatever has the focus for shortcuts of its own.
    for (const each of form.querySelectorAll("input, select, button, summary")) each.dataset.lmSuppressShortcuts = "";
    place();
  };
  const place = () => {
    for (const { spec, row, set } of controls) {
      row.hidden = spec.door !== undefined && spec.door !== model.get("door");
      set();
    }
  };
  const draw = () => show(image, model.get("picture"));
  const tell = () => {
    fill(facts, model.get("facts").flat(), ["dt", "dd"]);
    fill(notes, model.get("warnings"), ["li"]);
    error.textContent = model.get("error");
    error.hidden = error.textContent === "";
    image.alt = model.get("facts").map(([what, value]) => `${what}: ${value}`).join(", ");
    image.classList.toggle("old", !error.hidden);
  };

  const names = [...model.get("_controls").map(({ name }) => name), "crop"];
  const watched = [
    ["picture", draw],
    ...["facts", "warnings", "error"].map((name) => [name, tell]),
    ...names.map((name) => [name, place]),
    ["_controls", build],
    ["_drawn", wishes.answered],
  ];
  for (const [name, call] of watched) model.on(`change:${name}`, call);

  el.classList.add("squarewright-explorer");
  const ground = make("div", { className: "ground" }, image);
  el.append(make("div", { className: "result" }, ground, error, facts, notes), form);
  build();
  draw();
  tell();
  return () => {
    for (const [name, call] of watched) model.off(`change:${name}`, call);
    show(image, null);
  };
}

export default { render };
