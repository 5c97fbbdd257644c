// Loaded first, not as a module: the one policy for made-up markup and script addresses (trusted types).
// Fragments of our own pages pass; of script addresses only our one service worker does.
(function () {
  "use strict";
  if (!window.trustedTypes) return;
  window.trustedTypes.createPolicy("default", {
    createHTML: (markup) => markup,
    createScriptURL: (address) => {
      const there = new URL(address, window.location.href);
      if (there.origin === window.location.origin && there.pathname === "/sw.js" && !there.search) return address;
      throw new TypeError(`No script is loaded from ${there.pathname}`);
    },
  });
})();
