// The only two things that this site's scripts may turn into markup or a script's address.

const policy = window.trustedTypes?.createPolicy("own", {
  createHTML: (text) => text,
  createScriptURL: (address) => {
    if (address !== "/worker.js") throw new TypeError("not this site's worker");
    return address;
  },
});

/** Return a page that this site's own server sent, as markup to be parsed and never run. */
export const ownPage = (text) => (policy ? policy.createHTML(text) : text);

/** Return the address of the site's worker. */
export const ownWorker = () => (policy ? policy.createScriptURL("/worker.js") : "/worker.js");
