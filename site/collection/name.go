package collection

import (
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A site's files are named after those of its collection, and have to be files of their own wherever the site is
// copied to. So a name is refused if another file system can't have it, or takes it for another's.

// The longest names that a site may have, in bytes: of one file or folder, which is what most file systems take, and
// of a whole path, which leaves the folder that the site is written to some of the 1024 that the narrowest takes.
const (
	maxName = 255
	maxPath = 900
)

// TooLong says what is wrong with the length of a name in a site, "" if nothing is.
func TooLong(name string) string {
	for part := range strings.SplitSeq(name, "/") {
		if len(part) > maxName {
			return fmt.Sprintf("the site's file %s would have a name of %d bytes, and file systems take %d", clip(part), len(part), maxName)
		}
	}
	if len(name) > maxPath {
		return fmt.Sprintf("the site's file %s would have a path of %d bytes, and a site may have %d", clip(path.Base(name)), len(name), maxPath)
	}
	return ""
}

// clip shortens a long name for a message.
func clip(name string) string {
	if letters := []rune(name); len(letters) > 40 {
		return string(letters[:20]) + "…" + string(letters[len(letters)-15:])
	}
	return name
}

// isDevice tells the names that Windows reserves, with any ending ("Naming Files, Paths, and Namespaces", Microsoft's
// documentation of Windows).
func isDevice(name string) bool {
	name = strings.ToUpper(strings.TrimRight(name, " "))
	if kind := name[:min(len(name), 3)]; kind == "COM" || kind == "LPT" {
		number := name[3:]
		return utf8.RuneCountInString(number) == 1 && strings.Contains("0123456789¹²³", number)
	}
	return slices.Contains([]string{"CON", "PRN", "AUX", "NUL"}, name)
}

// badName refuses names that would mean something else in a link or on another file system. A notebook's comes with
// the ending of its page.
func badName(name string) string {
	for _, r := range name {
		if !okRune(r) {
			return fmt.Sprintf("the name holds %q: the names of notebooks, their folders and pictures are made of letters, digits, spaces, hyphens, underscores and full stops", r)
		}
	}
	for part := range strings.SplitSeq(name, "/") {
		bare, _, _ := strings.Cut(part, ".")
		if isDevice(bare) {
			return fmt.Sprintf("Windows keeps the name %s for a device, with any ending, so no file or folder can have it there", bare)
		}
		if strings.TrimRight(part, " .") != part {
			return fmt.Sprintf("the name %q ends in a space or a full stop, which Windows takes off", part)
		}
	}
	return TooLong(name)
}

func okRune(r rune) bool {
	return unicode.IsLetter(r) || unicode.Is(unicode.M, r) || unicode.IsDigit(r) || strings.ContainsRune(" -_./", r)
}
