/** How the configuration in force stands to its file, as in docs/api.md. */
export interface ConfigurationOverview {
  /** Null where the service follows no file. */
  readonly file: string | null;
  readonly takenAt: string;
  readonly taken: number;
  readonly refused: number;
  readonly added: number;
  readonly changed: number;
  readonly removed: number;
  /** Every mistake of the file as it is now; while there are some, nothing of it is in force. */
  readonly mistakes: readonly string[];
  /** What of it is not in force yet, and what for. */
  readonly waiting: readonly string[];
}
