/** The part of piexifjs that is used; it comes without types. */
declare module "piexifjs" {
  type Tags = Record<number, unknown>;
  interface Exif {
    "0th"?: Tags;
    GPS?: Tags;
  }
  const piexif: {
    load(jpeg: string): Exif;
    dump(exif: Exif): string;
    insert(exif: string, jpeg: string): string;
    remove(jpeg: string): string;
    ImageIFD: { Orientation: number };
    GPSIFD: { GPSLatitude: number; GPSLatitudeRef: number };
  };
  export default piexif;
}
