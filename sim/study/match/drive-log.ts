/**
 * A drive as logged: columns in SI over time, whoever wrote the file.
 *
 * Time rises strictly and starts at nought; every column is as long as it. What a logger did not record is absent.
 */
export interface DriveLog {
  /** s */
  readonly time: Float64Array;
  /** m/s */
  readonly speed: Float64Array;
  /** rad/s */
  readonly engineSpeed?: Float64Array;
  /** 0 to 1 */
  readonly throttle?: Float64Array;
  /** m east and north of the first place */
  readonly x?: Float64Array;
  readonly y?: Float64Array;
  /** Number of the lap, as the logger counted */
  readonly lap?: Float64Array;
}

/** Places in a log, `from` included, `to` not. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}
