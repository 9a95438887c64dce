// service_worker/list.js is made by the server at each request.
export const VERSION: string;
export const SHELLS: string[];
export const FILES: string[];
export const MORE: { [path: string]: string[] };
