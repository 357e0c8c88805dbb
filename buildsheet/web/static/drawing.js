// The drawing follows what is typed: the picture is asked for again, shortly after the last key.
"use strict";
(() => {
  const picture = document.getElementById("drawing");
  const form = document.getElementById("part");
  if (!picture || !form) return;
  let waiting = 0;
  const draw = () => {
    const wanted = new URLSearchParams({ _kind: form.dataset.kind });
    for (const [name, value] of new FormData(form)) {
      const drawn = !name.startsWith("_") && !name.startsWith("evidence.");
      if (drawn && value !== "") wanted.append(name, value);
    }
    const address = `${picture.dataset.address}?${wanted}`;
    if (picture.getAttribute("src") !== address) picture.setAttribute("src", address);
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(draw, 200);
  });
})();
