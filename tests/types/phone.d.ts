// The shapes that travel through the phone's code. Only the type check reads this file; no phone gets it.

/** What is logged of a dive, or of a doctor's clearance. */
interface Fields {
  value?: number;
  setting?: string;
  depth_m?: number;
  answered_at?: string;
  answer?: string;
  what?: string;
  date?: string;
  at?: string;
  surfaced_at?: string;
  discipline?: string;
  role?: string;
  target_m?: number;
  reached_m?: number;
  dive_s?: number;
  time_from?: string;
  effort?: number;
  signs?: string[];
  note?: string;
  turned_why?: string;
  contractions_m?: number;
  lighter_why?: string;
  logged_at?: string;
  clearance?: string;
  by?: string;
  by_person?: string;
  to?: string;
  no_diving?: string;
  not_ready?: string[];
  easy?: boolean;
  hold?: boolean;
  shallower?: number;
  main?: string;
  taxing?: boolean;
  sleep?: number;
  fatigue?: number;
  stress?: number;
  soreness?: number;
  rpe?: number;
  minutes?: number;
  not_easy_why?: string;
  ate_at?: string;
  body_note?: string;
  checked?: string[];
  own_checks?: string[];
  safety?: string;
  current?: string;
  waves?: string;
  visibility_m?: number;
  thermocline_m?: number;
  surface_c?: number;
  bottom_c?: number;
  suit?: string;
  lead_kg?: number;
  neck_kg?: number;
  fins?: string;
  line_m?: number;
  free_fall_m?: number;
  down_s?: number;
  hang_s?: number;
  equalisation?: string;
  equalised_m?: number;
  recovery?: string;
  focus?: string;
  focus_rate?: string;
  filmed_by?: string;
  saw?: string;
  // of the review of a block
  well?: string;
  change?: string;
  // of a focus
  from?: string;
  says?: string;
  cue?: string;
  set_by?: string;
  // of what was measured
  dive?: string;
  style?: string;
  clip_s?: number;
  fps?: number;
  smoothing_hz?: number;
  figures?: { [code: string]: { value: number; error: number } };
  // of a site
  name?: string;
  latitude?: number;
  longitude?: number;
  bottom_m?: number;
  water?: string;
  temperature_c?: number;
  altitude_m?: number;
  salinity?: number;
  emergency_phone?: string;
  radio_channel?: string;
  hospital?: string;
  hospital_phone?: string;
  chamber?: string;
  chamber_phone?: string;
  oxygen_where?: string;
  oxygen_by?: string;
  boat_driver?: string;
  meeting_point?: string;
  language?: string;
}

/** The dive form as typed: everything is text, but for the signs. */
interface Typed {
  date: string;
  at: string;
  discipline: string;
  role: string;
  target_m: string;
  reached_m: string;
  dive_s: string;
  time_from: string;
  turned_why: string;
  contractions_m: string;
  lighter_why: string;
  effort: string;
  signs: string[];
  note: string;
  safety: string;
  line_m: string;
  free_fall_m: string;
  down_s: string;
  hang_s: string;
  equalisation: string;
  equalised_m: string;
  recovery: string;
  focus: string;
  focus_rate: string;
  filmed_by: string;
  opened?: number;
}

interface Hints {
  today: string;
  expected_s: number;
}

interface Fault {
  field: string;
  says: string;
}

interface Known {
  rev: number;
  fields: Fields;
  deleted: boolean;
}

/** A record as the phone keeps it; the server's own check names its fields. */
interface Row {
  record: string;
  kind: string;
  user: number;
  fields: Fields;
  deleted: boolean;
  rev: number;
  known: Known;
  conflict: string[];
  offer?: Known;
  damaged?: boolean;
}

/** A record as the pages show it. */
interface ShownRow extends Row {
  state: string;
  faults: Fault[];
}

/** A row of the outbox. */
interface Operation {
  op: string;
  schema: number;
  user: number;
  kind: string;
  record: string;
  action: string;
  fields: Fields;
  base: number;
  made_at: string;
  counter?: number;
  feed?: string;
}

/** A change of a record in a feed of others, or in a crew: made on this phone, or taken from a file. */
interface FeedOp {
  feed: string;
  op: string;
  record: string;
  kind: string;
  action: string;
  fields: Fields;
  base: number;
  made_at: string;
  n: number;
  by: string;
  user: number;
  state: "waiting" | "stored" | "refused";
  rev?: number;
}

/** What was told of a record of a feed: by the server, and by a file. */
interface FeedRow {
  feed: string;
  record: string;
  kind: string;
  known: Known | null;
  told?: Known | null;
}

/** A record of a feed as pages show it. */
interface FeedRecord {
  record: string;
  kind: string;
  fields: Fields;
  deleted: boolean;
  rev: number;
  waiting: boolean;
}

/** A log of another diver, or a crew: what the server says of it. */
interface SharedFeed {
  feed: string;
  kind: "log" | "crew";
  name: string;
  rights: string[];
  own?: boolean;
  has_told?: boolean;
  list?: { days: BuddyDay[] };
  members?: { person: string; name: string }[];
  mark: number;
  more?: boolean;
  epoch?: string;
  kinds?: string;
  user?: number;
  snapshot?: Snapshot | null;
  not_planned?: NotPlanned | null;
  changes?: Change[];
  rows?: FeedRecord[];
}

interface ParkedOperation extends Operation {
  faults: Fault[];
  parked_at: string;
}

/** What a page asks the outbox to do to one record. */
interface Edit {
  kind?: string;
  record?: string;
  fields?: Fields;
  user: number;
  draft?: string;
}

interface Step {
  fields: Fields;
  deleted: boolean;
  action: string;
  changed: Fields;
}

interface Diver {
  id: number;
  name?: string;
}

interface Feed {
  kinds?: string;
  epoch: string;
  mark: number;
  offering: boolean;
}

interface Snapshot {
  season: { id: number; name: string; site?: string; days_at?: string[][] };
  sheet_id?: string;
  sheet?: Sheet;
  plan_next?: NextDive;
  made_at: string;
}

/** Single values by name; names that hold a diver's id are made by `keyOf`. */
interface Kept {
  device?: string;
  user?: Diver;
  sync?: { kind: string; says: string };
  last_sent?: number;
  counter?: number;
  writes?: number;
  first_view?: FirstView;
  [name: string]: any;
}

/** The last drawing of Today: its day, the version of the app, day or night, and how many writes there were by then. */
interface FirstView {
  day: string;
  version: string;
  /** day, night, or empty: as the device is set */
  theme: string;
  writes: number;
  markup: string;
}

/** What the server calculated of a log, as text, and when it came. */
interface KeptOutlook {
  id: string;
  text: string;
  at: number;
}

interface Outlook {
  format: number;
  id: string;
  made_at: string;
  today: string;
  season: { name: string; first_day: string; last_day: string } | null;
  cautions: string[];
  forecast: Forecast;
  limits: OutlookLimits;
  load: Load;
  bests: Bests;
  progress: { disciplines: { [name: string]: Progress } };
  reviews: Review[];
}

interface ForecastGoal {
  name: string;
  depth_m: number;
  says: string;
  chance: number | null;
  if_clean_on: string | null;
  likely_on: string | null;
}

interface BandDay {
  date: string;
  low_m: number;
  mid_m: number;
  high_m: number;
}

interface Forecast {
  none_because: string | null;
  says?: string[];
  assumed_says?: string;
  lost_says?: string;
  not_clean?: { expected: number; of: number; says: string };
  disciplines?: { [name: string]: { goals: ForecastGoal[]; band: BandDay[]; says: string } };
}

interface OutlookLimits {
  says: string;
  rows: { discipline: string; from_m: number; to_m: number; dives: number; not_clean: number;
    reasons: { [name: string]: number } }[];
  names: { [name: string]: string };
  effort: { discipline: string; depth_m: number; says: string; marks: { date: string; effort: number }[] }[];
  speeds: { discipline: string; from_m: number; to_m: number; dives: number; mean_m_s: number;
    spread_m_s: number | null; descent_m_s: number | null; ascent_m_s: number | null }[];
  conditions: { name: string; says: string }[];
}

interface LoadWeek {
  first_day: string;
  load: number;
  days: number;
  deep_days: number;
  days_off: number;
  monotony: number | null;
  strain: number | null;
  missing: number;
}

interface Load {
  weeks: LoadWeek[];
  says: string[];
  source: string;
  formula: string;
}

interface Bests {
  rows: { discipline: string; depth_m: number; on: string; season: string | null;
    history: { depth_m: number; on: string }[] }[];
  says: string;
}

interface Progress {
  first_day: string;
  last_day: string;
  best_m: number | null;
  goals: { name: string; depth_m: number }[];
  done: { date: string; depth_m: number; verdict: string }[];
  planned: { date: string; depth_m: number }[];
  earlier: { name: string; days: number; marks: { day: number; depth_m: number }[] }[];
}

interface Review {
  first_day: string;
  last_day: string;
  number: number;
  main: string;
  is_over: boolean;
  dives: number;
  days: number;
  deep_days: number;
  clean_by_depth: { from_m: number; to_m: number; clean: number; of: number; low: number | null;
    high: number | null }[];
  best: { discipline: string; depth_m: number; on: string } | null;
  focus: string[];
  well: string;
  change: string;
  record: string | null;
  next: { first_day: string; main: string; last_day: string } | null;
  says: string[];
  health: string[];
}

interface Waiting {
  outbox: Operation[];
  parked: ParkedOperation[];
  rows: Row[];
}

/** What a page needs to draw. */
interface Slate {
  user: Diver;
  kept: Kept;
  outbox: Operation[];
  parked: ParkedOperation[];
  others: Waiting;
  rows: ShownRow[];
  dives: Dive[];
  today: string;
  season: Snapshot["season"];
  sheet: Sheet;
  plan: Plan;
  trouble: string;
  notPlanned: NotPlanned | null;
}

// The phone's storage.

type StoreName = "records" | "outbox" | "parked" | "kept" | "feeds" | "feed_rows" | "feed_ops";

interface Store<One> {
  get(key: IDBValidKey): IDBRequest<One>;
  getAll(range?: IDBKeyRange): IDBRequest<One[]>;
  put(value: One): IDBRequest;
  add(value: One): IDBRequest;
  delete(key: IDBValidKey | IDBKeyRange): IDBRequest;
  clear(): IDBRequest;
  index(name: string): { getAll(key: IDBValidKey): IDBRequest<One[]> };
}

interface KeptStore {
  get<Name extends keyof Kept>(name: Name): IDBRequest<Kept[Name]>;
  getAll(): IDBRequest<any[]>;
  getAllKeys(): IDBRequest<string[]>;
  put<Name extends keyof Kept>(value: Kept[Name], name: Name): IDBRequest;
  delete(name: string | IDBKeyRange): IDBRequest;
  clear(): IDBRequest;
}

interface Stores {
  records: Store<Row>;
  outbox: Store<Operation>;
  parked: Store<ParkedOperation>;
  kept: KeptStore;
  feeds: Store<SharedFeed>;
  feed_rows: Store<FeedRow>;
  feed_ops: Store<FeedOp>;
}

type Asked = { [name: string]: IDBRequest };
type Found<Requests> = { [Name in keyof Requests]: Requests[Name] extends IDBRequest<infer Value> ? Value : never };

// What the phone and the server say to each other.

interface Result {
  op: string;
  status: string;
  rev?: number;
  faults?: Fault[];
  conflict?: string[];
  as_sent?: boolean;
}

interface Change {
  seq: number;
  record: string;
  kind: string;
  rev: number;
  deleted: boolean;
  fields: Fields;
}

/** The server's envelope. */
interface Envelope {
  app: string;
  schema: number;
  user: Diver;
  results: Result[];
  counter?: number;
  epoch: string;
  mark: number;
  more: boolean;
  changes: Change[];
  snapshot: Snapshot;
  not_planned?: NotPlanned | null;
  person?: string;
  feeds?: SharedFeed[];
}

/** What the server says of a season that it cannot plan. */
interface NotPlanned {
  says: string;
  faults: Fault[];
}

interface Word {
  kind: "answer" | "sign-in" | "too-much" | "slow" | "busy" | "refused" | "other-user" | "no-server" | "offline";
  body?: Envelope;
  says?: string;
  faults?: Fault[];
  waitS?: number;
}

interface Exchanged extends Word {
  sent: Operation[];
  left?: Operation[];
  more?: boolean;
  offering?: boolean;
}

/** A diver's list as a buddy sees it. */
interface BuddyList {
  diver: string;
  season: string;
  site: string;
  days: BuddyDay[];
  plan?: Fields;
  today?: string; // these: not in a list kept by an older version
  bottom_m?: number;
  pause?: { surfaced_at: string; seconds: number };
  crew?: BuddyCrew[];
  cautions: string[];
  as_of: string;
  last_sync: string;
}

interface BuddyTurn {
  id: string;
  person: string;
  discipline: string;
  role: string;
  depth_m: number;
  began_at: string;
  ended_at: string;
  [name: string]: any;
}

interface BuddyCrew {
  date: string;
  title: string;
  crew_day: Fields;
  aboard: { id: string; person: string; name: string; [name: string]: any }[];
  turns: BuddyTurn[];
}

interface BuddyDay {
  date: string;
  kind: string;
  why: string;
  over: boolean;
  dives: BuddyDive[];
}

interface BuddyDive {
  discipline: string;
  role: string;
  target_m: number;
  expected_s: number;
  says?: string;
  safety: { line_m: number; leave_s: number; meet_m: number; meet_s: number; overdue_s: number };
  done: boolean;
}

// The ladder sheet: look-ups that the server has compiled.

interface Sheet {
  format: number;
  first_day: string;
  site: { name: string; bottom_m: number; [name: string]: any };
  days: SheetDay[];
  disciplines: { [discipline: string]: Ladder };
  spacing: { to_m: number; min_days: number; max_in_a_row: number }[];
  drill: { discipline: string; dives: number; easy_m: number };
  drill_sets: BlockDrill[][];
  away: AwayRow[];
  no_diving: { [code: string]: { says: string; rungs: number } };
  not_ready: { [code: string]: string };
  ready: { worse: number; items: number; days: number; least: number };
  turned_whys: { [code: string]: { says: string; outside: boolean } };
  book: number;
  restarts: string[];
  past: Partial<Sheet>[];
  until?: string;
  warm_ups: number;
  numbers: { [name: string]: number };
  limits: Limits;
  signs: { [code: string]: Sign };
  verdicts: { [name: string]: SheetVerdict };
  care: { [key: string]: string[] };
  cautions: { [page: string]: string[] };
  speeds: { [discipline: string]: string };
  interval: Interval;
  words: Words;
}

interface SheetDay {
  date: string;
  block: number;
  kind: string;
  lead: string;
  drills?: number;
  why?: string;
}

interface BlockDrill {
  discipline: string;
  dives: number;
  focus: string;
  depth_m: number;
  by_rung: number[];
  easy_m: number;
}

interface AwayRow {
  to_days: number;
  share: number;
  percent: number;
  is_full: boolean;
}

interface Ladder {
  start: number;
  start_why: string;
  stands: number;
  stands_why: string;
  is_given: boolean;
  comfortable_m: number;
  near_on: string;
  end_m: number;
  ends_says: string;
  top: string;
  beyond_m: number;
  repeats: number;
  best_m: number;
  cap_m: number;
  goals: [string, number][];
  rungs: Rung[];
}

interface Rung {
  depth_m: number;
  needs: number;
  step_m?: number;
  single?: boolean;
  near_m: number;
  resume: number;
  drill_m: number;
  warm_up_m?: number;
  expected_s: number;
  card: Card;
}

/** The expected times of a dive in seconds; null where none is known. */
interface ClockTimes {
  depth_m: number;
  line_m: number;
  down: [string, number, number][];
  turn_s: number;
  total_s: number;
  overdue_s: number;
  leave_s: number;
  meet_s: number;
  meet_m: number;
}

/** A dive on the dive clock, as the phone keeps it; `name` is "" for this phone's diver. */
interface DiveClock {
  id: string;
  day: string;
  name: string;
  discipline: string;
  role: string;
  target_m: number;
  plan: number;
  times: ClockTimes;
  safety: string;
  started_ms: number;
  official_ms: number;
  bottom_ms: number;
  surfaced_ms: number;
  logged: boolean | string;
  done: boolean;
  touched_ms: number;
}

interface Card {
  line_m: number;
  clearance_m: number;
  gauge_m: number;
  down: [string, number, number][];
  turn_s: number;
  total_s: number;
  overdue_s: number;
  meet: { depth_m: number; leave_s: number; meet_s: number };
  cautions: string[];
}

type Limits = { [name: string]: { min?: number; max?: number } };

interface Sign {
  says: string;
  verdict: string;
  days: number;
  care: string[];
  over?: string;
  most_m?: number;
  today?: string;
  replaced?: boolean;
}

interface SheetVerdict {
  rank: number;
  says: string;
  over: string;
  counts: boolean;
  stands_down: boolean;
  run_limit: number;
  down: number;
  no_deep_days: number;
  limits: boolean;
  again_days: number;
  again_days_off: number;
}

interface Interval {
  bars: number[];
  rules: { name: string; per_dive: number; per_dive_bar: number; per_m: number; fixed_s: number; from_m: number }[];
  repetition: Repetition;
}

interface Repetition {
  deep_m: number;
  dives: number;
  within_min: number;
  factor: number;
  // since many dives count too
  most_times?: number;
  many_m?: number;
  many_dives?: number;
  many_within_min?: number;
}

/** The pause after a dive; `longer` says why it is longer than its rules ask for. */
interface Pause {
  seconds: number;
  rules: { name: string; seconds: number }[];
  longer: string | null;
}

type Words = { months: string[]; ordinals: string[] } & { [key: string]: any };

// What the reader makes of the sheet and a log.

/** A record of the log as the reader takes it. */
interface Dive extends Fields {
  id: string;
  kind: string;
}

interface Plan {
  days: Day[];
  disciplines: { [discipline: string]: Summary };
  next: NextDive;
  stand_down: StandDown;
  book: number;
}

interface Day {
  date: string;
  block: number;
  kind: string;
  why: string;
  dives: PlannedDive[];
  done: DoneDive[];
  over: string;
  proposed?: Proposed[];
}

interface PlannedDive {
  discipline: string;
  role: string;
  target_m: number;
  repeat: number;
  repeats: number;
  why: string;
  done: string;
  again?: boolean;
  new_best?: boolean;
  best_says?: string;
  reaches?: string;
  focus?: string;
}

interface NextDive extends PlannedDive {
  date: string;
}

interface DoneDive {
  id: string;
  discipline?: string;
  role?: string;
  target_m?: number;
  reached_m?: number;
  verdict: string;
  says: string;
  flags: string[];
  wins?: string[];
  care: string[];
}

interface Summary {
  start_m: number;
  rung_m: number;
  clean_on_rung: number;
  comfortable_m: number;
  best_m: number;
  ends_m: number;
  ends_says: string;
  reached_m: number;
  reaches_m: number;
  goals: { [name: string]: Goal };
}

interface Goal {
  depth_m: number;
  on: string;
  says: string;
}

interface StandDown {
  since: string;
  until: string;
  needs_clearance: boolean;
  why: string;
  care: string[];
}

/** Where a diver stands on one ladder. */
interface Standing {
  rung: number;
  clean: number;
  run: number;
  why: string;
  last: boolean[];
  efforts: number[];
  sent_down: number[];
  back: number;
  back_clean: number;
  dived: number;
  is_set: boolean;
}

type Standings = { [name: string]: Standing };

/** What a dive on the plan was, for the ladder. */
interface Deed {
  verdict: string;
  reached_m: number;
  effort: number;
  is_outside: boolean;
}

interface Comfort {
  given_m: number;
  repeats: number;
  near_n: number;
  deepest: number[];
}

interface Idle {
  days: number;
  rungs: number;
  why: string;
  said: string;
}

/** What the diver said of a day. */
interface Said {
  no_diving: string;
  hold: boolean;
  shallower: number;
  main: string;
  taxing: boolean;
  not_ready: string[];
  easy: boolean;
  proposed: Proposed[];
}

interface Proposed {
  record: string;
  what: string;
  discipline: string;
  depth_m: number;
  by: string;
  says: string;
}

interface Limit {
  depth_m: number;
  n: number;
  what: string;
  left: number;
}

/** The deep dive of a day while it is planned. */
interface Wanted {
  name: string;
  standing: Standing;
  rung: number;
  why: string;
  is_asked: boolean;
}

/** A stand-down while the log is read; days are day numbers. */
interface Stop {
  since: number;
  until: number;
  what: string;
  care: string[];
}

/** What one event does to the ladder of its discipline, or of all (null). */
interface Fall {
  n: number;
  discipline: string | null;
  change: (ladder: Ladder, one: Standing) => Standing;
}

interface Verdict {
  name: string;
  care: string[];
  events: [string, number][];
}

interface Mark {
  date: string;
  depth_m: number;
  done: boolean;
}

interface Surfaced {
  reached_m: number;
  dive_s: number;
  surfaced_s: number;
}

// Films of technique.

/** In pixels of the drawn frame. */
interface Point {
  x: number;
  y: number;
}

interface DiveLine {
  top: Point;
  low: Point;
}

/** 0 to 255, row by row. */
interface Grey {
  width: number;
  height: number;
  data: Float32Array;
}

interface ScoredPoint extends Point {
  score: number;
  steps?: number;
}

interface MarkedPiece {
  piece: Float32Array;
  turned: Map<number, Float32Array>;
}

interface Tracker {
  next(frame: Grey): { points: { [name: string]: ScoredPoint }; lost: string[] };
  remark(frame: Grey, name: string, point: Point): void;
}

interface Rhythm {
  hz: number;
  error_hz: number;
  cycles: number;
}

interface Turn {
  at: number;
  t_s: number;
  value: number;
}

/** Where the points were in one frame: those that were lost are missing; `marked` are those marked anew in it. */
interface Track {
  index: number;
  t_s: number;
  points: { [name: string]: Point };
  marked?: string[];
}

/** A frame that the browser showed while a film played. */
/** The brightness of a frame as its decoder has it, and the size that it is drawn in. */
interface Plane {
  data: Uint8Array;
  offset: number;
  stride: number;
  width: number;
  height: number;
  is_full: boolean; // all levels from 0 to 255
  drawn: { width: number; height: number };
}

interface SeenFrame {
  mediaTime: number;
  presentedFrames: number;
}

interface FollowOptions {
  video: HTMLVideoElement;
  canvas: HTMLCanvasElement;
  rate: Rate;
  first: number;
  last: number;
  marks: { [name: string]: Point };
  limbs?: string[][];
  most_px?: number;
  options?: { least_score?: number; limb_share?: number };
  onProgress?: (share: number) => void;
  onLost: (name: string, index: number) => Promise<Point | null>;
  signal?: AbortSignal;
}

/** A length that was measured with a tape: of the line between its marks, of the leg, or of the body. */
interface Known {
  length_m?: number | null;
  length_of?: "line" | "leg" | "body";
}

interface FigureOptions extends Known {
  style?: "kick" | "pull";
  smoothing_hz?: number;
  mark_error_px?: number;
}

interface Figure {
  code: string;
  value: number;
  error: number;
  unit: string;
}

// Elements.

type Child = any; // text, an element, a list of them; null, undefined and false are left out
type Attributes = { [name: string]: any };

/** What is found by its id: any element, with what fields and links have. */
interface Named extends HTMLElement {
  value: string;
  checked: boolean;
  href: string;
}

/** How a group of toggles looks, and what it says beside its legend. */
interface Look {
  hint?: string;
  look?: string;
}

type FormSent = SubmitEvent & { target: HTMLFormElement };

// What a script of the server has said before the modules run.

declare var LABELS: { [part: string]: any } | undefined;

// What some browsers have.

interface Navigator {
  audioSession?: { type: string };
  standalone?: boolean;
}

// Clips on the phone, see store/clips.js; frames count from 0, points are in pixels of the drawn frame.

type Points = { [name: string]: Point };

type Rate = number | number[]; // frames a second, or the moment of each frame

interface Clip {
  id: string;
  user: number | null;
  dive: string | null;
  date: string;
  who: string;
  name: string;
  type: string;
  size: number;
  modified: number;
  added: string;
  kept: string;
  width: number;
  height: number;
  length_s: number;
  fps: number | null;
  steady: boolean | null;
  times: number[] | null; // of the frames, in seconds, where the rate does not tell them
  slowed: number;
  first: number | null;
  last: number | null;
  phase_at: number | null;
  mirrored: boolean;
  style: string | null;
  tracks: Track[] | null;
  figures: Figure[] | null;
  measured: string | null;
}

// The run order of a crew, see crew/order.js. Moments are half minutes since midnight.

/** Numbers of the rulebook by their names. */
interface CrewLimits {
  "crew.safety_rest": number;
  "crew.deep_m": number;
  "crew.two_safeties_m": number;
  "crew.set_up_s": number;
  "crew.set_up_each_metre": number;
  "safety.meet_share": number;
  "safety.meet_most_m": number;
}

interface CrewPerson {
  id: string;
  name: string;
  may_meet_m: number | null; // the deepest at which this person may meet a diver; null: is never safety
  ready: boolean;
  free_from: number; // an own dive may begin
  deep_from?: number; // an own dive beyond crew.deep_m may begin, after safety duty; else as free_from
  rested_from: number; // may be safety again
  safety_count: number; // duties so far; what runs now is not counted
  day_over: boolean;
}

interface CrewDive {
  id: string;
  person: string;
  depth_m: number;
  half_minutes: number; // the whole dive, as expected
  pause: number; // the surface interval after it
  deep: boolean | null; // true: before this person's drills (false); null: a dive without such an order
  warm_up?: boolean; // before this person's deep dives
  fixed_at: number | null; // official time
  pinned: number | null; // place in the list after what runs, from 1 on
  safety: string[] | null; // named by hand; if they are fewer than needed, the others are chosen
}

interface Boat {
  at: number;
  line: { depth_m: number | null; free_from?: number }; // since when no dive is on it: the set-up counts from there
  people: CrewPerson[];
  dives: CrewDive[];
  running: { dive: string; began: number; safety: string[] } | null;
}

interface CrewReason {
  code: string;
  values: { [name: string]: any }; // who: ids; at, until: moments; others: metres and places
}

interface CrewRow {
  dive: string;
  begins: number;
  ends: number;
  safety: string[];
  line_from_m: number | null;
  line_to_m: number;
  waits: number; // from the line set to the start of the dive
  reasons: CrewReason[];
}

interface CrewOrder {
  rows: CrewRow[];
  cannot: { dive: string; rule: string; who: string[]; values: { [name: string]: number } }[];
  removed: string[];
  changes: number;
  metres: number;
  wait: number;
  fairness: number;
  duties: { [id: string]: number };
}

// Inside the search: people and dives by their places, depths in tenths of a metre.

interface CrewTaskDive {
  id: string;
  person: number;
  dm: number;
  takes: number;
  pause: number;
  deep: boolean | null;
  warms: boolean;
  beyond: boolean; // deeper than crew.deep_m
  need: number;
  named: number[];
  able: number[]; // who could be safety
  fixed: number | null;
  pinned: number | null;
}

interface CrewTask {
  at: number;
  numbers: { [name: string]: number };
  people: CrewPerson[];
  dives: CrewTaskDive[];
  before: number[][]; // the dives that come before each
  line: { dm: number | null; free: number };
  start: { free: number[]; deepFrom: number[]; rested: number[]; duties: number[] };
  running: { dive: string; begins: number; ends: number; safety: string[]; dm: number } | null;
  removed: string[];
  cannot: CrewOrder["cannot"];
}

interface CrewStep {
  dive: number;
  ready: number;
  begins: number;
  ends: number;
  safety: number[];
  fromDm: number | null;
}

interface CrewFound {
  steps: CrewStep[];
  leftOut: number[];
  lost: number; // what it counts to leave them out
  sets: number[][]; // all sets of dives that count as much
  isWhole: boolean; // whether no list was dropped on the way
  cost: number;
  wait: number;
  fair: number;
  duties: number[];
}

// A crew's feed as its pages read it.

interface CrewFeedRow {
  record: string;
  kind: string;
  fields: { [name: string]: any };
  deleted?: boolean;
  waiting?: boolean;
}

interface CrewTurn {
  id: string;
  person: string;
  discipline?: string;
  role?: string;
  depth_m: number;
  dive_s: number | null;
  pause_s: number | null;
  fixed_at?: string | null;
  pinned?: number | null;
  safety?: string[] | null;
  result?: string | null;
  reached_m?: number | null;
  dive?: string | null;
  began_at?: string | null;
  ended_at?: string | null;
  state: "coming" | "running" | "ended" | "unended";
  began: number | null; // half minutes since midnight
  ended: number | null;
}

interface CrewDay {
  date: string;
  day: { [name: string]: any };
  turns: CrewTurn[];
  running: CrewTurn | null;
  aboard: { [name: string]: any }[];
  guests: CrewFeedRow[];
}
