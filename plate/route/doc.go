// Package route
package route
