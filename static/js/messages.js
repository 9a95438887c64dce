// The words that the page and the worker say to each other. Both import this file.
export const ACTIVATE = "lineslate:activate"; // page to waiting worker: the diver asked for the new version
