/** What a command hands back: what to print, and the exit status (0 fine, 1 findings at or above the asked severity). */
export interface CommandResult {
  text: string;
  status: number;
}
