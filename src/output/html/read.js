// Values of a drawing: pointed at, touched, or walked through with the arrow keys.
for (const figure of document.querySelectorAll("figure")) {
  const spots = [...figure.querySelectorAll(".spot")];
  const plot = figure.querySelector(".plot");
  const reading = figure.querySelector(".reading");
  if (!plot || !reading || spots.length === 0) continue;
  let current = -1;
  const show = (index) => {
    if (current >= 0) spots[current].classList.remove("on");
    current = index;
    spots[index].classList.add("on");
    reading.textContent = spots[index].querySelector("title").textContent;
  };
  spots.forEach((spot, index) => {
    spot.addEventListener("pointerenter", () => show(index));
    spot.addEventListener("click", () => show(index));
  });
  const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
  plot.addEventListener("keydown", (event) => {
    if (event.key === "Home") show(0);
    else if (event.key === "End") show(spots.length - 1);
    else if (event.key in steps) {
      const start = current < 0 && steps[event.key] > 0 ? -1 : Math.max(current, 0);
      show((start + steps[event.key] + spots.length) % spots.length);
    } else return;
    event.preventDefault();
  });
}
// On paper the tables behind the drawings stay closed, those of the page itself are always open.
// A link to a folded part opens it.
const unfold = () => {
  const part = document.querySelector(`${location.hash || "#main"} > details.part`);
  if (part) part.open = true;
};
addEventListener("hashchange", unfold);
unfold();
