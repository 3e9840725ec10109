import type {
  ConfigurationOverview,
  HeaterRequest,
  InfluxStatus,
  InputError,
  MethodDefinition,
  RunDetail,
  RunQuery,
  RunSummary,
  RunUpdate,
  Sighting,
  StartRunRequest,
  TesterOverview,
} from './contract';

/** What the page needs from the other side. Two exist: the service, and the mock feed for working on the page. */
export interface Backend {
  methods(): Promise<readonly MethodDefinition[]>;
  configuration(): Promise<ConfigurationOverview>;
  runs(query: RunQuery): Promise<readonly RunSummary[]>;
  influx(): Promise<InfluxStatus>;
  run(runId: string): Promise<RunDetail>;
  start(testerId: string, request: StartRunRequest): Promise<StartOutcome>;
  stop(runId: string): Promise<StopOutcome>;
  /** Records what a person saw at the cup of a guided run. */
  observe(runId: string, seen: Sighting, person: string | null): Promise<ObserveOutcome>;
  /** Takes the observation that was made at that time back, while it is the newest. */
  takeBack(runId: string, atSeconds: number, person: string | null): Promise<ObserveOutcome>;
  /** Turns the heater of a driven run on or off. */
  heater(runId: string, request: HeaterRequest): Promise<HeaterOutcome>;
  /** Records that a fresh test portion was charged in an equilibrium run; its volume in mL where it is known. */
  charge(runId: string, millilitres: number | null): Promise<ObserveOutcome>;
  /** Address of the run's archived rows as CSV. */
  csvAddress(runId: string): string;
  /** Address of what a person recorded in a guided run, as CSV. */
  observationsAddress(runId: string): string;
  /** Address of what the wire said during the run, where it was kept. */
  wireAddress(runId: string): string;
  /** Address of the run's thermometer chain as JSON. */
  thermometerAddress(runId: string): string;
  /** Opens the live line and keeps it open for as long as the page lives. */
  open(listener: LiveListener): void;
  /** Follows one run until the returned function is called. */
  follow(follower: RunReader): () => void;
}

export interface LiveListener {
  overview(testers: readonly TesterOverview[]): void;
  link(state: 'up' | 'lost'): void;
}

/** One reader of a run's stream. */
export interface RunReader {
  readonly runId: string;
  /** Asked at every (re)connection: how many points and events are held. */
  held(): { readonly points: number; readonly events: number };
  /** Returns false to be asked again from the counts held. */
  update(update: RunUpdate): boolean;
  /** The stream ended; true when everything has been sent and none needs to follow. */
  isOver(): boolean;
  failed(text: string): void;
}

export type StartOutcome =
  | { readonly kind: 'started'; readonly run: RunSummary }
  | { readonly kind: 'refused'; readonly errors: readonly InputError[] };

export type StopOutcome =
  | { readonly kind: 'stopped'; readonly run: RunSummary }
  | { readonly kind: 'refused'; readonly text: string };

export type HeaterOutcome =
  | { readonly kind: 'done' }
  | { readonly kind: 'refused'; readonly text: string };

export type ObserveOutcome =
  | { readonly kind: 'recorded' }
  | { readonly kind: 'refused'; readonly text: string };
