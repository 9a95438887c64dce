// The worker's own thread: the library knows workers in general, these are the events and words of a service worker.

interface WorkerGlobalScopeEventMap {
  install: ExtendableEvent;
  activate: ExtendableEvent;
  fetch: FetchEvent;
}

interface WorkerGlobalScope {
  readonly clients: Clients;
  skipWaiting(): Promise<void>;
}

// Shapes of ../phone.d.ts speak of a page's elements: the library of workers has none of them.
interface HTMLElement {}
interface HTMLVideoElement {}
interface HTMLCanvasElement {}
interface HTMLFormElement {}
interface SubmitEvent {}
