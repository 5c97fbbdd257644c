// Draws the API's document. Nothing is asked of anybody but this house.
const place = document.querySelector("[data-document]");
window.SwaggerUIBundle({
  url: place.dataset.document,
  domNode: place,
  deepLinking: true,
  docExpansion: "none",
  defaultModelsExpandDepth: -1,
  validatorUrl: null,
  presets: [window.SwaggerUIBundle.presets.apis],
});
