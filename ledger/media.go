package ledger

import "strings"

// medias are the media types of the files that jobs hold, by the name's end; of
// ends that fit both, the longer stands first.
var medias = []struct{ end, media string }{
	{".csv.gz", "application/gzip"},
	{".csv.zst", "application/zstd"},
	{".geojson", "application/geo+json"},
	{".json", "application/json"},
	{".yaml", "application/yaml"},
	{".yml", "application/yaml"},
	{".csv", "text/csv"},
	{".txt", "text/plain"},
	{".log", "text/plain"},
	{".gz", "application/gzip"},
	{".zst", "application/zstd"},
	{".parquet", "application/vnd.apache.parquet"},
	{".pdf", "application/pdf"},
	{".svg", "image/svg+xml"},
	{".jpg", "image/jpeg"},
	{".jpeg", "image/jpeg"},
	{".png", "image/png"},
	{".heic", "image/heic"},
	{".webp", "image/webp"},
	{".zip", "application/zip"},
	{".xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"},
	{".gpkg", "application/geopackage+sqlite3"},
	{".gpx", "application/gpx+xml"},
	{".kml", "application/vnd.google-earth.kml+xml"},
}

// MediaOf is the media type that the end of a file's name tells;
// "application/octet-stream" where it tells none.
func MediaOf(name string) string {
	name = strings.ToLower(name)
	for _, m := range medias {
		if strings.HasSuffix(name, m.end) {
			return m.media
		}
	}
	return "application/octet-stream"
}
