// The messages between the page and the service worker. Both import this file.
export const ACTIVATE = "lineslate:activate"; // page to waiting worker: the diver asked for the new version
export const KEEP_MORE = "lineslate:keep more"; // page to worker: keep the pages that the first visit left for later
