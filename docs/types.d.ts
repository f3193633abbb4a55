// What the scripts of the bench hand to each other, for the TypeScript compiler (docs/jsconfig.json).

/** A word for all places, or one a place. */
type Answer = string | Record<string, string>;

interface Build {
  model?: string;
  size?: Record<string, Answer>;
  fitted?: Record<string, Answer>;
  documents?: string[];
}

/** An instrument of a sheet; `fresh` while nobody has said anything of it, `told` when its usual limit was accepted. */
interface Tool {
  id: string;
  instrument: string;
  resolution?: string;
  mpe?: string;
  mpe_percent?: string;
  unit?: string;
  set_on?: string;
  fresh?: boolean;
  told?: boolean;
  [field: string]: any;
}

type ToolChange = (change: { instrument?: string; tool?: Partial<Tool>; open?: string }) => void;

/** A reading of a sheet; `kept` has what it was kept in spite of, by rule. */
interface Reading {
  item: string;
  position: string;
  part: string;
  value: string;
  unit: string;
  instrument: string;
  kept?: Record<string, string>;
  [field: string]: any;
}

interface Sheet {
  engine: string;
  title?: string;
  build: Build;
  stage?: string;
  instruments: Tool[];
  readings: Reading[];
  torques?: any[];
  changed?: string;
  [field: string]: any;
}

/** What is being read. */
interface Now {
  item: string;
  said: Record<string, string>;
  position: string;
  part: string;
  unit: string;
  instrument: string;
  place: string;
  direction: string;
  typed: string;
  low: string | null;
  between: boolean;
}

/** What is being tightened. */
interface Tightening {
  joint: string | null;
  cycle: number;
  place: string;
  typed: string;
  unit: string;
  threads: string;
  instrument: string;
}

interface View {
  sheet: string | null;
  engine?: string;
  step: string;
  now: Now | null;
  tighten?: Tightening | null;
}

interface Stage {
  joint: string;
  position: string;
  step: number;
  said: Record<string, string>;
  choice: Choice;
}

interface Job {
  key: string;
  joint: string;
  position: string;
  said: Record<string, string>;
  stages: Stage[];
}

interface Order {
  turns: { places: string[]; column: string }[];
  each: boolean;
  cite: Cite;
}

/** What comes next. */
interface Next {
  group: Group;
  position: string;
  part: string;
  count: number;
  isHere: boolean;
  again: boolean;
}

interface PadSetup {
  what: string;
  typed: string;
  low: string | null;
  units: string[];
  unit: string;
  setUnit: (unit: string) => void;
  signed: boolean;
  fractions: boolean;
  between: boolean | null;
  setBetween: ((between: boolean) => void) | null;
  press: (key: string) => void;
  write: (input: HTMLInputElement) => void;
  next: () => void;
  after?: Node | null;
}

/** What the steps of the bench may do with the page. */
interface App {
  root: HTMLElement;
  view: () => View;
  sheet: () => Sheet;
  engine: () => Engine;
  build: () => any;
  judged: () => Found;
  edit: (change: (sheet: Sheet) => void) => void;
  show: (more?: Partial<View>) => void;
  say: (text: string, heard?: boolean) => void;
  keepView: () => void;
  folded: (name: string) => boolean;
  open: (fold: string) => void;
}

interface Cite {
  source: string;
  page: string;
  address: string;
  text: string;
}

/** A row as its page prints it. */
interface Row {
  id: string;
  cells: Record<string, string>;
  cite: Cite;
  also: Cite[];
  marks: string[];
  link: string;
  [field: string]: any;
}

interface Asked {
  question: string;
  words: string;
  detail: boolean;
  answers: { word: string; label: string; lines: Row[][]; verdict?: string }[];
}

interface Choice {
  rows: Row[];
  asked: Asked[];
  passedOver: Row[];
  why: string;
}

/** What to measure of an item: places that have the same rows. */
interface Group {
  item: string;
  said: Record<string, string>;
  places: string[];
  choice: Choice;
}

/** A verdict with all that belongs to it. */
interface Result {
  item: string;
  label: string;
  position: string;
  verdict: string;
  says: Record<string, string>;
  questions: Asked[];
  row: Row | null;
  others: any[];
  agreement: any[];
  passed_over: Row[];
  [field: string]: any;
}

interface Finding {
  code: string;
  severity: string;
  message: string;
  help: string;
  place: string;
  reading?: number;
  torque?: number;
}

/** An exact number: lowest terms, d above 0. */
interface Fraction {
  n: bigint;
  d: bigint;
}

/** An end of a range by the stricter and by the other of what is printed for it, in SI. */
interface End {
  strict: Fraction;
  loose: Fraction;
}

/** What a row allows. */
interface Bounds {
  low: End | null;
  high: End | null;
  limit: End | null;
  nominal: End | null;
  side: string;
  judged: boolean;
  /** Whether a new range is printed, and whether wear makes the value larger. */
  fresh: boolean;
  wearsUp: boolean;
  wearLow: End | null;
  wearHigh: End | null;
  mates: boolean;
  floor: boolean;
  scant: Fraction | null;
  ample: Fraction | null;
  openEnd: "" | "lower" | "upper";
  [field: string]: any;
}

/** A repair size, signed: minus for journals, plus for bores. */
interface Size {
  number: string;
  value: Fraction;
  unit: string;
}

/** A repair size, or the word `unknown`. */
type MaybeSize = Size | string;

/** Answers by place, 3, top-ring or 3/top-ring; `all` is for the rest. */
type ByPlace<T> = Record<string, T>;

/** The build of a sheet with each answer by place. */
interface ParsedBuild {
  model: string;
  fitted: Record<string, ByPlace<string>>;
  size: Record<string, ByPlace<MaybeSize>>;
  documents: string[];
}

/** Models that a row speaks of, its parts by question, and whether its own cell names the models. */
interface Spoken {
  models: string[];
  parts: Record<string, string[]>;
  namesModel: boolean;
}

/** Models, covers and questions of an engine family. */
interface Family {
  models: Record<string, Model>;
  names: string[];
  questions: Record<string, string[]>;
  onlyModel: string;
  speaks: (row: Row) => Spoken;
  answers: (model: string) => Record<string, string>;
  count: (column: ModelCount, asked?: string[]) => number | null;
  label: (asked: string, word: string) => string;
  words: (applies: string) => string;
}

type ModelCount = "cylinders" | "crankpins" | "mains";

interface Model {
  label: string;
  known: string;
  has: string[];
  cylinders?: number;
  crankpins?: number;
  mains?: number;
}

/** A cause of uncertainty; those of one key are one error and add with their sign. */
interface Component {
  key: string;
  standard: number;
  sign: number;
  freedom: number;
  reach: number | null;
  flat: boolean;
}

/** Error of what counts of several readings, in standard deviations of one. */
interface CountedError {
  alone: number;
  lift: number;
  reach: number;
}

/** Spread of the readings of one hand: what counts, the class's usual, what repeats showed. */
interface Scatter {
  deviation: number;
  freedom: number;
  usual: number;
  pooled: number;
  repeats: number;
}

/** An instrument of a sheet in SI. */
interface SiTool {
  id: string;
  kind: string;
  resolution: number;
  mpe: number;
  percent: number;
  setOn: string | null;
  zeroShift: number;
}

/** A reading of a sheet in SI at 20 degrees Celsius; `half` is half of what lies between two marks. */
interface SiReading {
  index: number;
  part: string;
  place: string;
  direction: string;
  value: Fraction;
  shift: Fraction;
  half: Fraction;
  instrument: string;
  expansion: Fraction;
  temperatureKnown: boolean;
  leastOnly: boolean;
}

/** Temperatures of a sheet, in degrees Celsius and kelvin. */
interface Warmth {
  part: Fraction;
  room: Fraction;
  roomHalf: Fraction;
  spread: Fraction;
  partKnown: boolean;
  materials: Record<string, string>;
}

/** Readings of one place and direction. */
interface Cell {
  by: [string, string];
  values: Fraction[];
}

/** What a value is made of. */
interface Counted {
  read: Fraction;
  components: Component[];
  lifts: number[];
  way: string;
  method: string;
  readings: number[];
  leastOnly: boolean;
  positive: boolean;
  marks: number;
}

/** A value with its uncertainty, in SI. */
interface Value extends Counted {
  value: Fraction;
  bias: Fraction;
  factor: number;
  combined: number;
  expanded: number;
  standard: number;
  at: number;
  least: number;
  most: number;
}

/** A way of measuring: what counts, and the smallest and the largest that its readings give. */
interface Way {
  value: Value;
  least: Value | null;
  most: Value | null;
}

/** What readings become values by. */
interface Means {
  tools: Map<string, SiTool>;
  scatter: Map<string, Scatter>;
  warmth: Warmth;
}

/** What the judging of readings needs: a sheet with its engine and its means, and the readings of parts out of form. */
interface ReadingBench {
  sheet: Sheet;
  engine: Engine;
  shared: Shared;
  build: ParsedBuild;
  means: Means;
  decision: string;
  misshapen: Set<number>;
}

/** A row, or none, on the readings of a case; the first of the ways decides. */
interface Untried {
  one: Case;
  row: Row | null;
  bounds: Bounds | null;
  ways: Way[];
  value: Value | null;
  others: Value[];
  doubt?: string;
}

/** The same with its verdict; `doubt` is the key of what speaks against a pass. */
interface Trial extends Untried {
  verdict: string;
  probability: number | null;
  withinLimit: number | null;
}

/** Rows that all must hold: each tried alone, and all as one. */
interface Tried {
  trials: Trial[];
  joint: Trial;
  verdict: string;
  lead: Trial;
}

/** A case with its verdict. */
interface Judged {
  one: Case;
  tried: Tried;
  lead: Trial;
  joint: Trial;
  asked: Asked[];
  settled: boolean;
  verdict: string;
}

/** The same with the trial of a cylinder as it will be when it is honed. */
interface WithHoned extends Judged {
  honed: Trial | null;
}

/** Unit, factor and step in which numbers of one result are shown. */
interface Scale {
  unit: string;
  factor: Fraction;
  step: Fraction;
}

/** One item at one place with its readings by part, and the rows that are true for it. */
interface Case {
  item: string;
  position: string;
  said: Record<string, string>;
  quantity: Quantity;
  parts: Map<string, SiReading[]>;
  choice: Choice;
  sizes: Record<string, Choice>;
  derived: boolean;
  again: boolean;
  among: boolean;
}

/** Fasteners of a joint that one printed row speaks of, in one round of tightening. */
interface Kind {
  joint: string;
  which: string;
  thread: string;
  purpose: string;
  cycle: number;
  text: string;
}

/** A step as a page counts it. */
interface Numbered {
  kind: string;
  thread: string;
  step: number;
}

/** A kind at a place; `among` names some of them that the sheet tells apart and the page does not. */
interface Fastener {
  kind: Kind;
  place: string;
  among: string;
}

/** A printed step that a sheet must have. */
interface Wanted {
  said: Record<string, string>;
  fastener: Fastener;
  step: number;
  entered: string[];
}

/** What the judging of tightening needs: a sheet with its engine, its build and its instruments in SI. */
interface TorqueBench {
  sheet: any;
  engine: any;
  shared: any;
  build: any;
  tools: Map<string, any>;
  leftJoints: string[];
}

/** A torque line of a sheet with the rows that are true for it; numbers in SI. */
interface TorqueStep {
  index: number;
  raw: any;
  choice: Choice;
  row: Row | null;
  tool: any;
  si: number;
  ends: (number | null)[][];
  toolFrom: number | null;
  toolTo: number | null;
  done: number;
  fasteners: Fastener[];
  state: string;
  states: string[];
  turn: number | null;
}

/** A torque line with its verdict. */
interface TorqueLine {
  index: number;
  joint: string;
  position: string;
  step: number;
  value: string;
  unit: string;
  verdict: string;
  percent: number | null;
  row: Row | null;
  range: any;
  others: Row[];
  why: string | null;
  questions: Asked[];
}

/** What the judge says of a sheet. */
interface Found {
  results: Result[];
  torques: TorqueLine[];
  findings: Finding[];
  faults: { place: string; found: string; expected: string }[];
  refused: string[];
  missing: { item: string; position: string }[];
  notJudged: { item: string; position: string; why: string }[];
  assumed: string[];
}

interface Quantity {
  label: string;
  kind: string;
  dimension: string;
  method: string;
  instrument: string;
  limit_side: string;
  repair: string;
  count: string;
  outer: string[];
  inner: string[];
  of: string[];
  order: number;
  [field: string]: any;
}

interface Engine {
  engine: string;
  name: string;
  note: string;
  unit: string;
  layout: string;
  labels: Record<string, string>;
  others: Record<string, string>;
  models: Record<string, Model>;
  covers: Record<string, string[]>;
  documents: Record<string, string>;
  questions: Record<string, string[]>;
  rows: Row[];
  torques: Row[];
  sequences: Row[];
  choices: string[][];
  [field: string]: any;
}

interface Shared {
  version: string;
  units: Record<string, { dimension: string; factor: string; label: string }>;
  quantities: Record<string, Quantity>;
  joints: Record<string, { label: string; critical: string; count: string; strip: string }>;
  instruments: Record<string, Record<string, string>>;
  repairs: Record<string, { label: string; sign: "plus" | "minus"; count: string; common: string; [field: string]: any }>;
  methods: Record<string, string>;
  positions: Record<string, { label: string; [field: string]: any }>;
  purposes: Record<string, string>;
  words: Record<string, string>;
  directions: Record<string, { tells: string[]; family: string[] }>;
  states: Record<string, string>;
  doubts: Record<string, string>;
  cautions: string[];
  engines: { engine: string; name: string; known: string }[];
  [table: string]: any;
}

type Child = Node | string | null | undefined | false | Child[];
type Attributes = Record<string, any>;

interface Elements {
  element: (tag: string, attributes?: Attributes, ...children: Child[]) => any;
  drawn: (tag: string, attributes?: Attributes, ...children: Child[]) => SVGElement;
  button: (words: string, press: () => void, attributes?: Attributes) => HTMLElement;
  chips: (label: string, choices: (string | null)[][], chosen: string, choose: (value: string) => void, key?: string) => HTMLElement;
  link: (address: string, words: string) => HTMLElement;
  field: (label: string, input: HTMLElement) => HTMLElement;
  replace: (node: HTMLElement, children: Child[]) => void;
}

/** The modules by name, typed where the pages of the bench call them. */
interface RunningFits {
  elements: Elements;
  loaded: { shared: Shared; engines: Record<string, Engine> };
  measured: {
    measured: (engine: Engine, values: Build) => Group[];
    questions: (engine: Engine, values: Build) => string[];
    countedBy: (question: string, engine: Engine) => string;
    machined: (engine: Engine) => { printed: Map<string, any[]>; others: string[] };
    count: (item: string, engine: Engine, build: any) => number | null;
    sizeOf: (part: string, item: string, engine: Engine, build: any, position?: string) => any;
    classOf: (kind: string, size: any) => string;
  };
  judge: { check: (sheet: any, engine: Engine | null, shared: Shared) => Found; neverNegative: (kind: string, part: string) => boolean };
  stages: {
    jobs: (engine: Engine, shared: Shared, build: any) => Job[];
    ofJob: (line: any, job: Job) => boolean;
    countedWith: (job: Job, all: Job[], engine: Engine, shared: Shared, build: any) => Job[];
    count: (job: Job, engine: Engine, shared: Shared, build: any) => number;
    order: (job: Job, engine: Engine, shared: Shared, build: any) => Order | null;
    compared: (row: Row, value: string, unit: string, shared: Shared) => "inside" | "below" | "above" | "other";
  };
  rows: { text: (row: Row, suffixes?: string[]) => string; [name: string]: any };
  [module: string]: any;
}

interface Window {
  runningFits: RunningFits;
}

declare const module: any;
declare function require(name: string): any;
