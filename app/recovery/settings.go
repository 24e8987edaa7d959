package recovery

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"
)

const maxSettings = 1 << 20 // bytes; a hundred settings take some thousand

// SettingsFile is where the toolkit keeps the settings of the program with an id.
func SettingsFile(id string) (string, error) {
	base, err := os.UserConfigDir()
	if runtime.GOOS == "darwin" { // the toolkit does not go by the system's folder for settings there
		base, err = os.UserHomeDir()
		base = filepath.Join(base, "Library", "Preferences")
	}
	if err != nil {
		return "", err
	}
	return filepath.Join(base, "fyne", id, "preferences.json"), nil
}

// SetAside renames a settings file that the toolkit could not read, and would write over, and says so in a line; "" where the file
// is as it should be or not there. To be called before the toolkit wakes.
func SetAside(path string) string {
	fault := settingsFault(path)
	if fault == nil || errors.Is(fault, fs.ErrNotExist) {
		return ""
	}
	time.Sleep(200 * time.Millisecond) // another window may be writing it just now
	if fault = settingsFault(path); fault == nil {
		return ""
	}
	aside := fmt.Sprintf("%s.damaged-%s", path, time.Now().Format("20060102-150405"))
	if err := os.Rename(path, aside); err != nil {
		return fmt.Sprintf("The settings in %s cannot be read (%v), so the usual ones apply.", path, fault)
	}
	return fmt.Sprintf("The settings could not be read (%v), so the usual ones apply. The damaged file is kept as %s.", fault, aside)
}

func settingsFault(path string) error {
	s, err := os.Stat(path)
	if err != nil {
		return err
	}
	if !s.Mode().IsRegular() || s.Size() > maxSettings {
		return errors.New("it is no settings file")
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	var settings map[string]any
	if err := json.Unmarshal(data, &settings); err != nil {
		return fmt.Errorf("not whole JSON: %w", err)
	}
	for key, v := range settings {
		if list, ok := v.([]any); ok {
			for _, e := range list {
				if !plain(e) || fmt.Sprintf("%T", e) != fmt.Sprintf("%T", list[0]) { // the toolkit would panic
					return fmt.Errorf("%q is a mixed list", key)
				}
			}
		} else if !plain(v) {
			return fmt.Errorf("%q is no setting", key)
		}
	}
	return nil
}

// plain tells whether the toolkit keeps values of this type.
func plain(v any) bool {
	switch v.(type) {
	case bool, float64, string:
		return true
	}
	return false
}
