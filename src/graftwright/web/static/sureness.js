// Keeps the slider and its figure saying the same; without it the button does the work.
(function () {
  const slider = document.getElementById("id_sureness");
  const figure = document.getElementById("id_exactly");
  if (!slider || !figure) return;
  slider.addEventListener("input", () => { figure.value = slider.value; });
  figure.addEventListener("input", () => {
    if (figure.checkValidity() && figure.value) slider.value = figure.value;
  });
})();
